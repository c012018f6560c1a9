"""The words shared by packer, checker and exporters."""
