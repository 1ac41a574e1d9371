// The reading pad and its queue. They run in the browser: a reading typed without a link is kept here and sent later.
(() => {
  const QUEUE = `trialfit-kept-${window.trialfitBuild}`, BACK = `trialfit-refused-${window.trialfitBuild}`,
    DRAFT = `trialfit-draft-${window.trialfitBuild}`;
  const LONGEST = 120;
  const load = (k) => { try { return JSON.parse(localStorage.getItem(k) || "[]"); } catch { return []; } };
  const keep = (k, v) => localStorage.setItem(k, JSON.stringify(v));
  const esc = (t) => String(t).replace(/[&<>"']/g, (c) => `&#${c.charCodeAt(0)};`);
  let whole = "", eighths = 0, odd = 0, typed = null, form = null, set = null, photo = null, off = false, sending = false;

  const q = (s) => form && form.querySelector(s);
  const unit = () => { const k = set.kinds[q("[data-kind]").value]; return k.unit || set.unit; };
  const reduced = (n, d) => { while (n && n % 2 === 0) { n /= 2; d /= 2; } return [n, d]; };
  const thirtyseconds = () => (+whole || 0) * 32 + eighths * 4 + odd;
  function said() {
    if (typed !== null) return typed.trim();
    if (!whole && !eighths && !odd) return "";
    if (unit() !== "in") return whole ? `${whole} ${unit()}` : "";
    const n = thirtyseconds(), rest = n % 32;
    if (!rest) return `${Math.floor(n / 32)} in`;
    const [a, b] = reduced(rest, 32), w = Math.floor(n / 32);
    return `${w ? w + " " : ""}${a}/${b} in`;
  }
  function inch() {
    const W = 358, n = thirtyseconds(), base = Math.floor(n / 32), x = (v) => 20 + v * (W - 40) / 32;
    let o = "";
    for (let i = 0; i <= 32; i++) {
      const h = i % 32 === 0 ? 46 : i % 16 === 0 ? 36 : i % 8 === 0 ? 28 : i % 4 === 0 ? 20 : i % 2 === 0 ? 13 : 7;
      o += `<path d="M${x(i)} 0V${h}" stroke="#15130F" stroke-width="${i % 4 === 0 ? 2.5 : 1.3}"/>`;
    }
    const p = x(n - base * 32);
    return `<svg viewBox="0 0 ${W} 66" width="100%" preserveAspectRatio="none" role="img" aria-label="one inch of the tape"><rect width="${W}" height="66" fill="#FFE98F"/>${o}` +
      `<text x="${x(0) + 12}" y="61" font-size="16" font-weight="700" fill="#15130F">${base}</text><text x="${x(32) - 12}" y="61" font-size="16" font-weight="700" text-anchor="end" fill="#15130F">${base + 1}</text>` +
      `<path d="M${p} 66V0" stroke="#8F2300" stroke-width="4"/><path d="M${p - 9} 66h18l-9-13z" fill="#8F2300"/></svg>`;
  }
  function draw() {
    if (!form) return;
    const inches = unit() === "in", field = q("[data-says]");
    if (typed === null) field.value = said();
    q('[data-for="in"]').hidden = !inches; q('[data-for="in"]').style.display = inches ? "" : "none";
    q('[data-for="mm"]').style.display = inches ? "none" : "";
    q("[data-inch]").innerHTML = inches ? inch() : "";
    q("[data-other]").textContent = said() ? "" : inches ? "inches" : unit() === "deg" ? "degrees" : "millimetres";
    rows();
    keep(DRAFT, { kind: q("[data-kind]").value, a: q("[data-a]").value, b: q("[data-b]").value, whole, eighths, odd, typed, unit: set.unit });
  }
  function options(select, groups, extra) {
    select.innerHTML = groups.map(([g, names]) => `<optgroup label="${esc(g)}">${names.map((n) => `<option>${esc(n)}</option>`).join("")}</optgroup>`).join("") + (extra ? `<option value="+">${extra}</option>` : "");
  }
  function kinds() {
    const k = set.kinds[q("[data-kind]").value], size = q("[data-kind]").value === "size", a = q("[data-a]"), b = q("[data-b]"), keepA = a.value, keepB = b.value;
    if (size) { options(a, set.sizes.length ? [["Sizes", set.sizes]] : [], "a new size ..."); } else { options(a, set.points, "a new point ..."); options(b, set.points, "a new point ..."); }
    for (const [s, v] of [[a, keepA], [b, keepB]]) if ([...s.options].some((o) => o.value === v)) s.value = v;
    b.style.display = k.ends === 2 ? "" : "none";
    if (k.ends === 2 && b.value === a.value && b.options.length > 2) b.selectedIndex = (a.selectedIndex + 1) % (b.options.length - 1);
    q("[data-side]").innerHTML = k.sides.map((s) => `<option>${s}</option>`).join("");
    q("[data-side]").style.display = k.sides.length ? "" : "none";
    q("[data-side]").className = k.ends === 2 ? "both" : "";
    a.className = k.ends === 1 && !k.sides.length ? "both" : "";
    q("[data-by]").innerHTML = k.by.map((i) => `<option value="${esc(i)}">by ${esc(i)}</option>`).join("");
    q("[data-by]").value = k.usual;
    fresh();
  }
  function fresh() {
    for (const end of ["a", "b"]) { const s = q(`[data-${end}]`); q(`[data-new="${end}"]`).style.display = s.value === "+" && s.style.display !== "none" ? "" : "none"; }
  }
  const end = (e) => q(`[data-${e}]`).value === "+" ? q(`[data-new="${e}"]`).value.trim() : q(`[data-${e}]`).value;
  function line() {
    const kind = q("[data-kind]").value, k = set.kinds[kind], side = k.sides.length ? ` ${q("[data-side]").value}` : "", by = q("[data-by]").value;
    let x = said();
    if (!x || !end("a") || (k.ends === 2 && !end("b"))) return "";
    if (/^[0-9 ./+-]+$/.test(x)) x += ` ${unit()}`;
    return `${kind} ${end("a")}${k.ends === 2 ? " " + end("b") : ""} ${x}${side}${by && by !== k.usual ? " by " + by : ""}`;
  }
  const done = (t) => { const d = q("[data-done]"); if (d) d.textContent = t; };
  function mark() { const a = new Uint8Array(8); crypto.getRandomValues(a); return [...a].map((v) => v.toString(16).padStart(2, "0")).join(""); }
  function write() {
    const l = line();
    if (!said()) { done("Nothing is read yet: press the keys, or type it."); return; }
    if (unit() === "mm" && /^[0-9 ./+-]*\/[0-9 ./+-]*$/.test(said())) { done(`Nobody reads ${said()} mm off a tape. Inches? Type ${said()} in.`); return; }
    if (said().length > LONGEST) { done("That is too long to be a reading."); return; }
    if (!l) { done("Name the point first."); return; }
    const ident = mark(), instead = set.wanted.insteadOf && l.split(" ")[0] === set.wanted.kind ? set.wanted.insteadOf : "";
    keep(QUEUE, [...load(QUEUE), { ident, line: l, instead_of: instead }]);
    if (photo) sendPhoto(ident, photo);
    whole = ""; eighths = odd = 0; typed = null; photo = null;
    draw(); done(off ? `${l} is kept on this phone. It will be sent when the link is back.` : "Writing it down ...");
    send();
  }
  async function send() {
    if (sending) return;
    sending = true;
    try {
      for (let kept = load(QUEUE); kept.length; kept = load(QUEUE)) {
        const one = kept[0];
        let answer;
        try {
          answer = await fetch("/readings", { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify({ build: window.trialfitBuild, ...one }) });
        } catch { link(false); return; }
        if (!answer.ok && answer.status !== 422) { if (answer.status === 409 || answer.status === 403) done(await answer.text()); return; }
        const what = answer.ok ? await answer.json() : { counted: false, reason: "it is no reading" };
        keep(QUEUE, load(QUEUE).filter((r) => r.ident !== one.ident));
        if (!what.counted) { keep(BACK, [...load(BACK), { ...one, reason: what.reason }]); done(""); } else if (!load(QUEUE).length) { done(""); tell("trialfit-taken", one.ident); }
        draw();
      }
    } finally { sending = false; count(); }
  }
  async function sendPhoto(ident, file) {
    try {
      const answer = await fetch(`/photos/${ident}`, { method: "POST", headers: { "Content-Type": "application/octet-stream" }, body: file });
      if (!answer.ok) { const d = await answer.json().catch(() => ({})); done(`The photo was not kept. ${typeof d.detail === "string" ? d.detail : ""}`); }
    } catch { done("The photo was not kept: there is no link. The reading is."); }
  }
  const tell = (name, args) => { try { window.emitEvent(name, args); } catch { /* no link: the answer shows when it is back */ } };
  function rows() {
    const el = q("[data-rows]");
    if (!el) return;
    el.innerHTML = load(QUEUE).map((r) => `<div class="kept"><b>${esc(r.line)}</b>kept here, not sent yet</div>`).join("") +
      load(BACK).map((r) => `<div class="kept"><b>${esc(r.line)}</b>${esc(r.reason)}<br><button type="button" data-mend="${esc(r.ident)}">Mend it</button><button type="button" data-drop="${esc(r.ident)}">Rub it out</button></div>`).join("");
  }
  function count() { const n = load(QUEUE).length; document.querySelectorAll("[data-kept]").forEach((e) => { e.textContent = n; }); }
  function link(there) { off = !there; document.body.classList.toggle("off", off); count(); }
  function press(k) {
    if (k === "write") return write();
    if (typed !== null && k !== "back") { whole = ""; eighths = odd = 0; }
    if (typed !== null && k === "back") { typed = typed.slice(0, -1) || null; if (typed !== null) q("[data-says]").value = typed; return draw(); }
    typed = null;
    if (/^\d$/.test(k)) { if (whole.length < 6) whole = (whole === "0" ? "" : whole) + k; }
    else if (k === ".") { if (!whole.includes(".")) whole = (whole || "0") + "."; }
    else if (k === "+16") odd += 2;
    else if (k === "shy") odd -= 1;
    else if (k === "strong") odd += 1;
    else if (k[0] === "e") { eighths = +k.slice(1); odd = 0; }
    else if (k === "back") { if (odd) odd = 0; else if (eighths) eighths = 0; else whole = whole.slice(0, -1); }
    if (thirtyseconds() < 0) odd = 0;
    draw();
    return undefined;
  }
  document.addEventListener("click", (ev) => {
    const b = ev.target.closest("[data-k],[data-mend],[data-drop]");
    if (!b || !form) return;
    if (b.dataset.k) { press(b.dataset.k); return; }
    const back = load(BACK), one = back.find((r) => r.ident === (b.dataset.mend || b.dataset.drop));
    keep(BACK, back.filter((r) => r !== one));
    if (one && b.dataset.mend) start(one.line);
    draw();
  });
  document.addEventListener("submit", (ev) => { if (ev.target === form) { ev.preventDefault(); write(); } });
  document.addEventListener("input", (ev) => {
    if (!form || !form.contains(ev.target)) return;
    if (ev.target.matches("[data-says]")) { typed = ev.target.value || null; if (typed === null) { whole = ""; eighths = odd = 0; } draw(); }
  });
  document.addEventListener("change", (ev) => {
    if (!form || !form.contains(ev.target)) return;
    if (ev.target.matches("[data-kind]")) { whole = ""; eighths = odd = 0; typed = null; kinds(); draw(); }
    if (ev.target.matches("[data-a],[data-b]")) { fresh(); draw(); }
    if (ev.target.matches("[data-photo]")) { photo = ev.target.files[0] || null; done(photo ? `${photo.name} goes with the next reading.` : ""); }
  });
  function start(l) {
    const w = l.split(" ");
    if (set.kinds[w[0]]) q("[data-kind]").value = w[0];
    kinds();
    const k = set.kinds[q("[data-kind]").value], names = w.slice(1, 1 + k.ends);
    pick("a", names[0]); if (k.ends === 2) pick("b", names[1]);
    typed = w.slice(1 + k.ends).join(" ").split(" by ")[0]; q("[data-says]").value = typed;
  }
  function pick(e, name) {
    if (!name) return;
    const s = q(`[data-${e}]`);
    if ([...s.options].some((o) => o.value === name)) s.value = name; else { s.value = "+"; q(`[data-new="${e}"]`).value = name; }
    fresh();
  }
  window.trialfit = {
    pad() {
      form = document.querySelector("form[data-pad]");
      if (!form) return;
      set = JSON.parse(form.dataset.pad);
      q("[data-kind]").innerHTML = Object.entries(set.kinds).map(([k, v]) => `<option value="${k}">${esc(v.words)}</option>`).join("");
      const draft = load(DRAFT), w = set.wanted;
      whole = ""; eighths = odd = 0; typed = null;
      if (w.kind) q("[data-kind]").value = w.kind; else if (draft.kind && set.kinds[draft.kind]) q("[data-kind]").value = draft.kind;
      kinds();
      if (w.kind) { pick("a", w.points[0]); pick("b", w.points[1]); if (w.by) q("[data-by]").value = w.by; }
      else if (draft.kind) {
        for (const e of ["a", "b"]) if ([...q(`[data-${e}]`).options].some((o) => o.value === draft[e])) q(`[data-${e}]`).value = draft[e];
        if (draft.unit === set.unit) { ({ whole, eighths, odd, typed } = draft); if (typed !== null) q("[data-says]").value = typed; }
        fresh();
      }
      draw();
      if (matchMedia("(min-width:1000px)").matches) q("[data-says]").focus();
    },
    bay(i) {
      if (!form || !set.bays[i]) return;
      set.points.sort((x, y) => (y[0] === set.bays[i]) - (x[0] === set.bays[i]));
      const here = set.points[0], a = q("[data-a]");
      kinds();
      if (here && here[0] === set.bays[i] && q("[data-kind]").value !== "size") { a.value = here[1][0]; kinds(); }
      draw();
    },
    went(place, bay, thing) {
      history.pushState({ place, bay, thing }, "", `?place=${encodeURIComponent(place)}&bay=${bay}${thing ? "&thing=" + encodeURIComponent(thing) : ""}`);
      scrollTo(0, 0);
    },
    look(mode, units) { document.cookie = `trialfit-look=${mode}.${units}; path=/; max-age=31536000; samesite=strict`; },
    kept: () => load(QUEUE).length,
  };
  addEventListener("popstate", () => {
    const p = new URLSearchParams(location.search);
    tell("trialfit-back", { place: p.get("place") || "Next", bay: p.has("bay") ? +p.get("bay") : null, thing: p.get("thing") || "" });
  });
  addEventListener("offline", () => link(false));
  addEventListener("online", linked);
  let heard = null;
  function linked() {
    const there = navigator.onLine && (!window.socket || window.socket.connected);
    if (window.socket && heard !== window.socket) { heard = window.socket; heard.on("connect", linked); heard.on("disconnect", linked); }
    if (window.socket || !navigator.onLine) link(there);
    if (there && load(QUEUE).length) send();
  }
  setInterval(linked, 1500);
  addEventListener("DOMContentLoaded", count);
})();
