// The exhaust's views in the browser: a grip that follows the finger at once, while the server says what comes of it.
const tell = (said) => window.emitEvent("trialfit-exhaust", said);
let held = null, waiting = false, next = null, since = 0;

function scale(svg) {
  const m = svg.getScreenCTM();
  if (m && m.a > 0) svg.style.setProperty("--u", (1 / m.a).toFixed(4));
}
const sized = new ResizeObserver((seen) => seen.forEach((s) => scale(s.target)));

function send(said) {
  // one question at a time; only the last place waits. An answer lost with the link does not block for ever.
  if (waiting && performance.now() - since < 2000) { next = said; return; }
  waiting = true; since = performance.now(); next = null;
  tell(said);
}

function at(svg, e) {
  const p = new DOMPoint(e.clientX, e.clientY).matrixTransform(svg.getScreenCTM().inverse());
  return [p.x, p.y];
}

function put(svg, u, v) {
  const grip = svg.querySelector("[data-grip]"), legs = svg.querySelector("[data-legs]");
  if (!grip) return;
  grip.setAttribute("transform", `translate(${u.toFixed(2)} ${v.toFixed(2)})`);
  const points = legs.getAttribute("points").split(" ");
  points[1] = `${u.toFixed(1)},${v.toFixed(1)}`;
  legs.setAttribute("points", points.join(" "));
}

export function hold(id) {
  const root = document.getElementById(id);
  if (!root || root.dataset.held) return;
  root.dataset.held = "1";
  const on = root.querySelector("[data-on]");
  if (on) {
    const a = on.getBoundingClientRect(), b = root.getBoundingClientRect();
    root.scrollLeft += a.left + a.width / 2 - b.left - b.width / 2;
  }
  const form = document.querySelector("form.numbers");
  if (form) form.addEventListener("submit", (e) => {
    e.preventDefault();
    tell({ what: "typed", said: [...form.querySelectorAll("input")].map((i) => i.value.slice(0, 60)) });
    document.activeElement.blur();
  });
  for (const svg of root.querySelectorAll("svg.pipeview")) {
    scale(svg);
    sized.observe(svg);
    svg.addEventListener("pointerdown", (e) => {
      const grip = e.target.closest("[data-grip]");
      if (!grip || held) return;
      e.preventDefault();
      svg.setPointerCapture(e.pointerId);
      const [u, v] = at(svg, e), m = grip.getAttribute("transform").match(/[-\d.]+/g).map(Number);
      held = { svg, id: e.pointerId, du: m[0] - u, dv: m[1] - v, u: m[0], v: m[1], moved: false };
    });
    svg.addEventListener("pointermove", (e) => {
      if (!held || held.svg !== svg || held.id !== e.pointerId) return;
      const [u, v] = at(svg, e);
      held.u = u + held.du; held.v = v + held.dv; held.moved = true;
      put(svg, held.u, held.v);
      send({ what: "drag", view: svg.dataset.view, u: held.u, v: held.v, done: false });
    });
    const over = (e) => {
      if (!held || held.svg !== svg || held.id !== e.pointerId) return;
      const last = held;
      held = null; waiting = false;
      if (last.moved) send({ what: "drag", view: svg.dataset.view, u: last.u, v: last.v, done: true });
    };
    svg.addEventListener("pointerup", over);
    svg.addEventListener("pointercancel", over);
    svg.addEventListener("click", (e) => {
      const corner = e.target.closest("[data-corner]"), piece = e.target.closest("[data-piece]");
      if (corner) tell({ what: "corner", n: Number(corner.dataset.corner) });
      if (piece) window.emitEvent("trialfit-piece", Number(piece.dataset.piece));
    });
    svg.addEventListener("keydown", (e) => {
      const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, -1], ArrowDown: [0, 1] }[e.key];
      if (!way || !svg.querySelector("[data-grip]")) return;
      e.preventDefault();
      send({ what: "arrow", view: svg.dataset.view, du: way[0], dv: way[1], ten: e.shiftKey });
    });
  }
}

export function take(id, said) {
  const root = document.getElementById(id);
  waiting = false;
  if (!root) return;
  for (const svg of root.querySelectorAll("svg.pipeview")) {
    const view = svg.dataset.view;
    svg.querySelector("[data-live]").innerHTML = said.live[view];
    if (!held || held.svg !== svg) svg.querySelector("[data-points]").innerHTML = said.points[view];
  }
  document.querySelectorAll(".numbers input").forEach((field, k) => {
    // what a person has typed meanwhile stays, unless it is what was just taken
    const touched = field.dataset.put !== undefined ? field.value !== field.dataset.put : field.value !== field.defaultValue;
    if (said.taken || (!touched && document.activeElement !== field)) field.value = said.numbers[k];
    if (said.taken || !touched) field.dataset.put = said.numbers[k];
  });
  if (next) send(next);
}
