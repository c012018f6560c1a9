import ctypes
import signal
import sys
from types import SimpleNamespace

import pytest

from nesting.packing.processes.interrupts import held_back_interrupts


def test_ctrl_c_is_delivered_once_the_processes_have_started():
    reached = []

    def starting():
        with held_back_interrupts():
            signal.raise_signal(signal.SIGINT)
            reached.append(True)

    with pytest.raises(KeyboardInterrupt):
        starting()
    assert reached


@pytest.mark.parametrize("fails", [False, True])
def test_on_windows_ctrl_c_is_ignored_while_processes_start_and_not_afterwards(monkeypatch, fails):
    """Windows, simulated by the call that it has for this."""
    calls = []
    kernel = SimpleNamespace(SetConsoleCtrlHandler=lambda *given: calls.append(given))
    monkeypatch.setattr(ctypes, "windll", SimpleNamespace(kernel32=kernel), raising=False)
    monkeypatch.setattr(sys, "platform", "win32")
    monkeypatch.delattr(signal, "pthread_sigmask")
    try:
        with held_back_interrupts():
            assert calls == [(None, True)]
            if fails:
                raise OSError
    except OSError:
        assert fails
    assert calls == [(None, True), (None, False)]
