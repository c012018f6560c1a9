"use strict";
// Lets people move and zoom the drawing of a lay and point at its panels. The page has
// everything else without this script.

const LEAST_MM_PER_PX = 0.05;
const LEAST_HEIGHT = 150; // px; a lay that would be lower if shown whole is shown from its start
const STEP = 1.4;
const STRIP = 2.2; // length of a printed strip, divided by the height of the drawing

function liveDrawing(figure) {
  const stage = figure.querySelector(".stage");
  const svg = stage.querySelector("svg");
  const caption = figure.querySelector("output");
  const hint = caption.textContent;
  const box = svg.viewBox.baseVal;
  const whole = { x: box.x, y: box.y, width: box.width, height: box.height };
  const panels = [...svg.querySelectorAll(".panel")];
  const kinds = new Map();
  for (const panel of panels) {
    if (!kinds.has(panel.dataset.kind)) kinds.set(panel.dataset.kind, []);
    kinds.get(panel.dataset.kind).push(panel);
  }
  const view = { x: whole.x, y: whole.y, scale: 1 }; // scale: millimetres per pixel
  let lit = [];
  let showDefault = () => describe(null); // what the caption says while nothing is pointed at

  // ---- the part of the lay in sight

  const size = () => ({ width: stage.clientWidth || 1, height: stage.clientHeight || 1 });
  const scaleOfWhole = () => Math.max(whole.width / size().width, whole.height / size().height);
  const scaleOfWidth = () => Math.min(scaleOfWhole(), whole.height / size().height);

  function clamp(least, extent, at, seen) {
    return seen >= extent ? least + (extent - seen) / 2 : Math.min(Math.max(at, least), least + extent - seen);
  }

  function show() {
    const { width, height } = size();
    view.scale = Math.min(Math.max(view.scale, LEAST_MM_PER_PX), scaleOfWhole());
    const seen = { width: width * view.scale, height: height * view.scale };
    view.x = clamp(whole.x, whole.width, view.x, seen.width);
    view.y = clamp(whole.y, whole.height, view.y, seen.height);
    svg.setAttribute("viewBox", [view.x, view.y, seen.width, seen.height].map((n) => n.toFixed(2)).join(" "));
    // A finger scrolls the page while the drawing has nothing out of sight above and below.
    svg.style.touchAction = seen.height < whole.height - 0.01 ? "none" : "pan-y";
    figure.classList.toggle("zoomed", view.scale < scaleOfWhole() * 0.999);
  }

  function zoom(factor, at = { x: size().width / 2, y: size().height / 2 }) {
    const scale = Math.min(Math.max(view.scale / factor, LEAST_MM_PER_PX), scaleOfWhole());
    view.x += at.x * (view.scale - scale);
    view.y += at.y * (view.scale - scale);
    view.scale = scale;
    show();
  }

  function move(dx, dy) {
    view.x += dx * view.scale;
    view.y += dy * view.scale;
    show();
  }

  function showWhole() {
    view.scale = scaleOfWhole();
    show();
  }

  function showWidth() {
    view.scale = scaleOfWidth();
    view.y = whole.y;
    show();
  }

  const actions = { in: () => zoom(STEP), out: () => zoom(1 / STEP), whole: showWhole, width: showWidth };

  // ---- the panel that is pointed at or selected

  function light(panel, twins) {
    for (const one of lit) one.classList.remove("here", "twin");
    lit = twins;
    for (const one of twins) one.classList.add(one === panel ? "here" : "twin");
  }

  function describe(thing) {
    if (!thing) {
      light(null, []);
      caption.textContent = hint;
    } else if (thing.dataset.kind === undefined) {
      light(null, []);
      caption.textContent = thing.querySelector("title").textContent;
    } else {
      const twins = kinds.get(thing.dataset.kind);
      const more = twins.length - 1;
      light(thing, twins);
      caption.textContent = `${thing.querySelector("title").textContent}. ` +
        (more ? `${more} more like it, highlighted.` : "The only one of its kind.");
    }
  }

  function describeKind(kind, name) {
    const twins = kinds.get(kind) ?? [];
    light(null, twins);
    caption.textContent = `${name}: ${twins.length === 1 ? "1 panel" : `${twins.length} panels`}, highlighted.`;
  }

  const point = (thing) => (thing ? describe(thing) : showDefault());

  function select(thing) {
    showDefault = () => describe(thing);
    showDefault();
  }

  const thingAt = (target) => target.closest?.(".panel, .remnant") ?? null;

  function bringIntoSight(panel) {
    const seen = stage.getBoundingClientRect();
    const there = panel.querySelector("use").getBoundingClientRect();
    const dx = Math.min(0, there.left - seen.left) + Math.max(0, there.right - seen.right);
    const dy = Math.min(0, there.top - seen.top) + Math.max(0, there.bottom - seen.bottom);
    if (dx || dy) move(dx, dy);
  }

  function goTo(index) {
    const panel = panels[Math.min(Math.max(index, 0), panels.length - 1)];
    for (const one of panels) one.tabIndex = one === panel ? 0 : -1;
    panel.focus({ preventScroll: true });
  }

  // ---- pointers: one moves the drawing, two also zoom it

  const pointers = new Map();
  const place = (event) => {
    const seen = stage.getBoundingClientRect();
    return { x: event.clientX - seen.left - stage.clientLeft, y: event.clientY - seen.top - stage.clientTop };
  };

  stage.addEventListener("pointerdown", (event) => {
    if (event.button === 0) pointers.set(event.pointerId, place(event));
  });

  window.addEventListener("pointermove", (event) => {
    const from = pointers.get(event.pointerId);
    if (!from) return;
    const to = place(event);
    const other = [...pointers].find(([id]) => id !== event.pointerId)?.[1];
    if (other) {
      const apart = (p) => Math.hypot(p.x - other.x, p.y - other.y) || 1;
      move((from.x - to.x) / 2, (from.y - to.y) / 2);
      zoom(apart(to) / apart(from), { x: (to.x + other.x) / 2, y: (to.y + other.y) / 2 });
    } else {
      move(from.x - to.x, from.y - to.y);
    }
    pointers.set(event.pointerId, to);
  });

  for (const end of ["pointerup", "pointercancel"]) {
    window.addEventListener(end, (event) => pointers.delete(event.pointerId));
  }

  // Only a moving pointer points at a thing, not one under which the drawing moves.
  const last = { x: NaN, y: NaN, thing: null };
  stage.addEventListener("pointermove", (event) => {
    const thing = thingAt(event.target);
    const moved = event.clientX !== last.x || event.clientY !== last.y;
    if (moved && thing !== last.thing && !pointers.size) point(thing);
    Object.assign(last, { x: event.clientX, y: event.clientY, thing });
  });
  stage.addEventListener("pointerleave", () => {
    last.thing = null;
    showDefault();
  });
  stage.addEventListener("click", (event) => select(thingAt(event.target)));
  // The wheel scrolls the page; with Ctrl, or once the drawing has the focus, it zooms.
  stage.addEventListener("wheel", (event) => {
    if (!event.ctrlKey && !stage.contains(document.activeElement)) return;
    event.preventDefault();
    const lines = event.deltaMode === 1 ? 18 : 1;
    if (event.shiftKey) move(event.deltaY * lines, 0);
    else zoom(Math.exp(-event.deltaY * lines * 0.0022), place(event));
  }, { passive: false });

  // ---- keys

  stage.addEventListener("focusin", (event) => {
    const panel = event.target.closest(".panel");
    if (!panel) return;
    select(panel);
    bringIntoSight(panel);
  });

  stage.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.altKey || event.metaKey) return;
    const at = panels.indexOf(event.target.closest(".panel"));
    const far = 0.2 * Math.min(size().width, size().height);
    const ways = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] };
    const keys = { "+": "in", "=": "in", "-": "out", 0: "whole", Home: "whole" };
    const way = ways[event.key];
    if (way && at >= 0) goTo(at + way[0] + way[1]);
    else if (way) move(way[0] * far, way[1] * far);
    else if (keys[event.key]) actions[keys[event.key]]();
    else if (event.key === "Escape") select(null);
    else return;
    event.preventDefault();
  });

  for (const button of figure.querySelectorAll("button")) {
    button.addEventListener("click", actions[button.value]);
  }
  for (const link of document.querySelectorAll(`a[href="#${figure.id}"][data-kind]`)) {
    const name = link.dataset.name;
    for (const event of ["pointerenter", "focus", "click"]) {
      link.addEventListener(event, () => {
        showDefault = () => describeKind(link.dataset.kind, name);
        showDefault();
      });
    }
  }

  // ---- on paper: a long lay in strips, one below the other

  function showStrips() {
    svg.setAttribute("viewBox", [whole.x, whole.y, whole.width, whole.height].join(" "));
    if (whole.width <= 1.3 * STRIP * whole.height) return;
    const extents = panels.map((panel) => {
      const box = panel.getBBox();
      const x = panel.transform.baseVal[0].matrix.e + box.x;
      return [x, x + box.width];
    });
    const length = whole.width / Math.ceil(whole.width / (STRIP * whole.height));
    for (let x = whole.x; x < whole.x + whole.width - 1; x += length) {
      const strip = svg.cloneNode(false);
      strip.setAttribute("viewBox", [x, whole.y, length, whole.height].join(" "));
      strip.classList.add("strip");
      const there = extents.map(([from, to]) => to > x && from < x + length);
      strip.append(...[...svg.children].flatMap((part) => partOfStrip(part, there)));
      stage.append(strip);
    }
    figure.classList.add("in-strips");
  }

  // Of the elements that exist once for each panel, a strip gets only its own, or browsers are slow.
  function partOfStrip(part, there) {
    if (part.localName === "defs") return [];
    if (!part.matches(".panels, .gaps")) return [part.cloneNode(true)];
    const copy = part.cloneNode(false);
    copy.append(...[...part.children].filter((_, index) => there[index]).map((one) => one.cloneNode(true)));
    return [copy];
  }

  function removeStrips() {
    for (const strip of stage.querySelectorAll(".strip")) strip.remove();
    figure.classList.remove("in-strips");
    show();
  }

  window.addEventListener("beforeprint", showStrips);
  window.addEventListener("afterprint", removeStrips);

  figure.classList.add("live");
  svg.setAttribute("role", "group");
  stage.setAttribute("aria-describedby", figure.querySelector(".how").id);
  panels.forEach((panel, index) => {
    panel.setAttribute("role", "img");
    panel.tabIndex = index ? -1 : 0;
  });
  const long = (size().width * whole.height) / whole.width < LEAST_HEIGHT;
  figure.classList.toggle("long", long);
  (long ? showWidth : showWhole)();
  new ResizeObserver(show).observe(stage);
}

document.querySelectorAll(".viewer").forEach(liveDrawing);
