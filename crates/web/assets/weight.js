// Balance weights: the form is worked out again on each entry, and the picture of the piece is turned by hand.
// Without this file the buttons do the first, and the picture stands still.

/* The picture: flat sides, drawn from the farthest to the nearest. */

// How the piece is turned: about the vertical, then tipped towards the reader. Kept while the form is redrawn.
const AT_FIRST = { turn: -0.62, tip: 0.5 };
let pose = { ...AT_FIRST };
const STEP = Math.PI / 24;
const still = matchMedia("(prefers-reduced-motion: reduce)");

function colours(canvas) {
  const style = getComputedStyle(canvas);
  const of = (name) => {
    const text = style.getPropertyValue(name).trim().replace("#", "");
    const six = text.length === 3 ? [...text].map((sign) => sign + sign).join("") : text;
    return [0, 2, 4].map((at) => parseInt(six.slice(at, at + 2), 16));
  };
  return { near: of("--blue-tint"), far: of("--edge"), line: style.getPropertyValue("--ink").trim() };
}

// x aft, y to the right as the pilot sits, z up as they come; seen from ahead: right, up, towards the reader.
function turned([x, y, z], { turn, tip }) {
  const right = -y * Math.cos(turn) - x * Math.sin(turn);
  const depth = -x * Math.cos(turn) + y * Math.sin(turn);
  return [right, z * Math.cos(tip) - depth * Math.sin(tip), depth * Math.cos(tip) + z * Math.sin(tip)];
}

function read(canvas) {
  const { corners, triangles, holes } = JSON.parse(canvas.dataset.surface);
  const inThrees = (numbers) => {
    const threes = [];
    for (let at = 0; at < numbers.length; at += 3) threes.push(numbers.slice(at, at + 3));
    return threes;
  };
  const points = inThrees(corners);
  const low = [0, 1, 2].map((axis) => Math.min(...points.map((point) => point[axis])));
  const high = [0, 1, 2].map((axis) => Math.max(...points.map((point) => point[axis])));
  const middle = low.map((value, axis) => (value + high[axis]) / 2);
  const size = Math.hypot(...low.map((value, axis) => high[axis] - value)) || 1;
  const place = (point) => point.map((value, axis) => (value - middle[axis]) / size);
  const placed = points.map(place);
  const faces = inThrees(triangles);
  return { placed, faces, edges: edgesOf(placed, faces), holes: holes.map((rim) => inThrees(rim).map(place)) };
}

// The edges where two sides meet at more than a soft angle: those are drawn.
function edgesOf(points, faces) {
  const normals = faces.map((face) => normal(face.map((corner) => points[corner])));
  const seen = new Map();
  faces.forEach((face, index) => {
    for (let side = 0; side < 3; side += 1) {
      const pair = [face[side], face[(side + 1) % 3]].sort((a, b) => a - b).join(" ");
      seen.set(pair, [...(seen.get(pair) ?? []), { index, side }]);
    }
  });
  const sharp = faces.map(() => []);
  for (const shared of seen.values()) {
    const flat = shared.length === 2 && dot(normals[shared[0].index], normals[shared[1].index]) > 0.9;
    if (!flat) for (const { index, side } of shared) sharp[index].push(side);
  }
  return sharp;
}
function dot(a, b) { return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]; }
function normal([a, b, c]) {
  const u = b.map((value, axis) => value - a[axis]);
  const v = c.map((value, axis) => value - a[axis]);
  const n = [u[1] * v[2] - u[2] * v[1], u[2] * v[0] - u[0] * v[2], u[0] * v[1] - u[1] * v[0]];
  const length = Math.hypot(...n) || 1;
  return n.map((value) => value / length);
}

function paint(canvas, piece) {
  const box = canvas.getBoundingClientRect();
  if (!box.width) return;
  const fine = Math.min(devicePixelRatio || 1, 2);
  canvas.width = Math.round(box.width * fine);
  canvas.height = Math.round(box.height * fine);
  const pen = canvas.getContext("2d");
  const { near, far, line } = colours(canvas);
  const scale = 0.92 * Math.min(canvas.width, canvas.height);
  const points = piece.placed.map((point) => turned(point, pose));
  const at = ([right, up]) => [canvas.width / 2 + right * scale, canvas.height / 2 - up * scale];
  const faces = piece.faces
    .map((face, index) => ({ corners: face.map((corner) => points[corner]), index }))
    .map((face) => ({ ...face, normal: normal(face.corners) }))
    .filter((face) => face.normal[2] > 1e-4)
    .sort((a, b) => depth(a) - depth(b));
  pen.lineJoin = "round";
  for (const { corners, normal: n, index } of faces) {
    const light = Math.max(0, Math.min(1, 0.25 + 0.55 * n[2] + 0.35 * n[1] - 0.15 * n[0]));
    const shade = near.map((value, part) => Math.round(far[part] + (value - far[part]) * light));
    const [a, b, c] = corners.map(at);
    pen.beginPath();
    pen.moveTo(...a); pen.lineTo(...b); pen.lineTo(...c); pen.closePath();
    pen.fillStyle = `rgb(${shade.join(" ")})`;
    pen.strokeStyle = pen.fillStyle;
    pen.lineWidth = fine;
    pen.fill();
    pen.stroke();
    pen.strokeStyle = line;
    pen.lineWidth = 1.3 * fine;
    for (const side of piece.edges[index]) {
      pen.beginPath();
      pen.moveTo(...[a, b, c][side]); pen.lineTo(...[a, b, c][(side + 1) % 3]);
      pen.stroke();
    }
  }
  pen.fillStyle = `rgb(${far.map((part) => Math.round(part * 0.6)).join(" ")})`;
  for (const hole of piece.holes) {
    const rim = hole.map((corner) => turned(corner, pose));
    const third = Math.floor(rim.length / 3);
    if (normal([rim[0], rim[third], rim[2 * third]])[2] < 1e-4 || isHidden(rim, faces)) continue;
    pen.beginPath();
    rim.forEach((corner, index) => (index ? pen.lineTo(...at(corner)) : pen.moveTo(...at(corner))));
    pen.closePath();
    pen.fill();
    pen.stroke();
  }
}
// Whether a side lies before the middle of a rim.
function isHidden(rim, faces) {
  const [x, y, near] = [0, 1, 2].map((axis) => rim.reduce((sum, corner) => sum + corner[axis], 0) / rim.length);
  return faces.some(({ corners: [a, b, c] }) => {
    const twice = (p, q) => (p[0] - x) * (q[1] - y) - (p[1] - y) * (q[0] - x);
    const parts = [twice(b, c), twice(c, a), twice(a, b)];
    const all = parts[0] + parts[1] + parts[2];
    if (parts.some((part) => part < 0) || all <= 0) return false;
    return near + 0.02 < (parts[0] * a[2] + parts[1] * b[2] + parts[2] * c[2]) / all;
  });
}
function depth({ corners }) { return corners[0][2] + corners[1][2] + corners[2][2]; }

const pictures = new Map();
function redrawPictures() {
  for (const [canvas, piece] of pictures) {
    if (canvas.isConnected) paint(canvas, piece); else pictures.delete(canvas);
  }
}

function turnBy(way, sideways, upwards) {
  if (way === "home") { glide({ ...AT_FIRST }); return; }
  const to = { turn: pose.turn + sideways, tip: Math.max(-1.5, Math.min(1.5, pose.tip + upwards)) };
  if (way === "drag") { pose = to; redrawPictures(); } else glide(to);
}

// A step is shown on its way, where that is welcome.
let gliding = 0;
function glide(to) {
  cancelAnimationFrame(gliding);
  if (still.matches) { pose = to; redrawPictures(); return; }
  const from = { ...pose };
  const begun = performance.now();
  const frame = (now) => {
    const share = Math.min(1, (now - begun) / 160);
    pose = { turn: from.turn + (to.turn - from.turn) * share, tip: from.tip + (to.tip - from.tip) * share };
    redrawPictures();
    if (share < 1) gliding = requestAnimationFrame(frame);
  };
  gliding = requestAnimationFrame(frame);
}

const STEPS = { left: [-STEP * 2, 0], right: [STEP * 2, 0], up: [0, -STEP * 2], down: [0, STEP * 2], home: [0, 0] };
const KEYS = { ArrowLeft: [-STEP, 0], ArrowRight: [STEP, 0], ArrowUp: [0, -STEP], ArrowDown: [0, STEP] };

function makeTurnable(figure) {
  const canvas = figure.querySelector("canvas[data-surface]");
  if (!canvas || pictures.has(canvas) || !canvas.getContext) return;
  let piece;
  try { piece = read(canvas); } catch { return; }
  figure.querySelector(".turn-still").hidden = true;
  canvas.hidden = false;
  for (const part of figure.querySelectorAll(".turn-buttons, .turn-how")) part.hidden = false;
  pictures.set(canvas, piece);
  paint(canvas, piece);
  let last = null;
  canvas.addEventListener("pointerdown", (event) => {
    last = [event.clientX, event.clientY];
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener("pointermove", (event) => {
    if (!last) return;
    turnBy("drag", (event.clientX - last[0]) * 0.01, (event.clientY - last[1]) * 0.01);
    last = [event.clientX, event.clientY];
  });
  for (const name of ["pointerup", "pointercancel"]) canvas.addEventListener(name, () => { last = null; });
  canvas.addEventListener("keydown", (event) => {
    // With one of these a key is the browser's: back, forward, the next word.
    if (event.altKey || event.ctrlKey || event.metaKey) return;
    if (event.key === "Home") turnBy("home", 0, 0);
    else if (KEYS[event.key]) turnBy("key", ...KEYS[event.key]);
    else return;
    event.preventDefault();
  });
  for (const button of figure.querySelectorAll("[data-turn]")) {
    button.addEventListener("click", () => turnBy(button.dataset.turn, ...STEPS[button.dataset.turn]));
  }
}
function pictureAll() { for (const figure of document.querySelectorAll("figure.turn")) makeTurnable(figure); }
pictureAll();
addEventListener("resize", redrawPictures);
matchMedia("(prefers-color-scheme: dark)").addEventListener("change", redrawPictures);
new MutationObserver(redrawPictures).observe(document.documentElement, { attributeFilter: ["data-theme"] });

/* The form: worked out again on each entry. */

const form = document.querySelector("#weight-form");
const shown = document.querySelector(".weight-shown");
if (form) document.documentElement.classList.add("scripted");

// What is typed and chosen, by name.
function entered() {
  const fields = [...form.elements].filter((field) => field.name && field.matches("input[type=text], textarea, select"));
  return Object.fromEntries(fields.map((field) => [field.name, field.value]));
}
function putIn(name, value) {
  const field = form.elements[name];
  if (!field || field.options && ![...field.options].some((option) => option.value === value)) return;
  field.value = value;
}

function sent() {
  const body = new URLSearchParams();
  for (const [key, value] of new FormData(form)) if (typeof value === "string") body.append(key, value);
  return body;
}

// One question at a time: the shop goes on with a question that nobody waits for any more, so a slow one would fill up with
// those of every key. What was typed in between is asked once the answer is there, and not while fields are made anew.
let asking = null;
let waits = 0;
let typedSince = false;
function ask() {
  clearTimeout(waits);
  waits = setTimeout(async () => {
    if (asking || making) { typedSince = true; return; }
    const own = new AbortController();
    asking = own;
    typedSince = false;
    shown.classList.add("busy");
    let text = "";
    try {
      const answer = await fetch(form.dataset.preview, { method: "POST", body: sent(), signal: own.signal, redirect: "manual" });
      text = answer.ok ? await answer.text() : "";
    } catch { /* Without an answer what stands there is old. */ }
    // Fields that were made anew have asked for themselves.
    if (asking !== own) return;
    asking = null;
    shown.classList.remove("busy");
    if (typedSince) ask();
    else if (text) show(new DOMParser().parseFromString(text, "text/html"));
    else tellOld();
  }, 90);
}
// What is shown is of numbers typed before, and the next answer takes this line away.
function tellOld() {
  const place = shown.querySelector("[data-shows=headline]");
  if (!place || shown.classList.contains("old")) return;
  shown.classList.add("old");
  const said = document.createElement("p");
  said.className = "notice doubt old-said";
  said.setAttribute("role", "alert");
  said.textContent = "! Not worked out anew: what stands here is of the numbers typed before. Press “Work it out”.";
  place.prepend(said);
}
function askNoMore() {
  clearTimeout(waits);
  asking?.abort();
  asking = null;
  typedSince = false;
  shown.classList.remove("busy");
}

function show(answer) {
  shown.classList.remove("old");
  for (const part of answer.querySelectorAll("[data-part]")) {
    const place = shown.querySelector(`[data-shows="${part.dataset.part}"]`);
    if (!place) continue;
    const open = [...place.querySelectorAll("details")].map((details) => details.open);
    place.replaceChildren(...part.childNodes);
    [...place.querySelectorAll("details")].forEach((details, index) => { details.open = open[index] ?? details.open; });
  }
  for (const field of form.querySelectorAll(".field.wrong")) {
    field.classList.remove("wrong");
    field.querySelector(".said")?.remove();
    field.querySelector("[aria-invalid]")?.removeAttribute("aria-invalid");
  }
  for (const said of answer.querySelectorAll("[data-said]")) {
    const input = form.elements[said.dataset.said];
    const field = input?.closest?.(".field");
    if (!field) continue;
    field.classList.add("wrong");
    input.setAttribute("aria-invalid", "true");
    const words = document.createElement("div");
    words.className = "said";
    words.id = `${input.id}-wrong`;
    words.append(...said.childNodes);
    input.before(words);
    const hint = document.getElementById(`${input.id}-hint`) ? `${input.id}-hint ` : "";
    input.setAttribute("aria-describedby", `${hint}${words.id}`);
  }
  pictureAll();
  shown.dataset.state = answer.querySelector("[data-state]")?.dataset.state ?? "";
  shorten(shown.dataset.state);
}

// The summary of a refused form loses what is mended since, and goes with the last of it.
function shorten(state) {
  const summary = document.querySelector(".notice.bad[tabindex]");
  if (!summary) return;
  for (const item of summary.querySelectorAll("li")) {
    const link = item.querySelector("a[href^='#']");
    const target = link && document.getElementById(link.hash.slice(1));
    const empty = target?.value === "" && item.textContent.endsWith(" is empty");
    const stays = link ? empty || Boolean(target?.closest(".field.wrong")) : state !== "whole";
    if (!stays) item.remove();
  }
  const left = summary.querySelectorAll("li").length;
  if (!left) summary.remove();
  else summary.querySelector("strong").textContent = left === 1 ? "One thing is wrong" : `${left} things are wrong`;
}

// Another form, another row: the page makes its fields, and they take the place of those that stand here. One after the
// other, each with what the one before left: a press is never lost to an answer that did not know of it.
let making = 0;
let made = Promise.resolve();
function remake(what, focus, body = sent) {
  askNoMore();
  making += 1;
  const done = made.then(() => makeAnew(what, focus, body()));
  made = done.then((good) => {
    making -= 1;
    if (!good) tellOld();
    if (!making && typedSince) ask();
  });
  return done;
}
async function makeAnew(what, focus, body) {
  const then = entered();
  body.set("do", what);
  try {
    const answer = await fetch(form.getAttribute("action"), { method: "POST", body, redirect: "manual" });
    // A refused file comes back with what is wrong beside its field.
    if (!answer.ok && answer.status !== 422) return false;
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    const fresh = page.querySelector("#weight-form");
    if (!fresh) return false;
    const open = new Set([...form.querySelectorAll("details[open] > summary")].map((summary) => summary.textContent));
    const known = new Set([...form.elements].map((field) => field.name));
    const kept = form.querySelector(".kept");
    // Whoever typed or chose on while the answer came loses nothing by it.
    const since = Object.entries(entered()).filter(([name, value]) => name in then && then[name] !== value);
    const busyAt = since.length ? document.activeElement?.id : "";
    form.replaceChildren(...(kept ? [kept] : []), ...fresh.childNodes);
    for (const details of form.querySelectorAll("details")) {
      if (open.has(details.querySelector("summary")?.textContent)) details.open = true;
    }
    for (const part of page.querySelectorAll(".weight-shown > [data-shows]")) {
      shown.querySelector(`[data-shows="${part.dataset.shows}"]`)?.replaceChildren(...part.childNodes);
    }
    shown.classList.remove("old");
    pictureAll();
    const added = [...form.elements].find((field) => field.name && field.type !== "hidden" && !known.has(field.name));
    for (const [name, value] of since) putIn(name, value);
    form.dispatchEvent(new Event("change"));
    if (since.length) ask();
    (document.getElementById(busyAt) ?? document.getElementById(focus) ?? (what.startsWith("add") ? added : null))?.focus();
    return true;
  } catch { return false; }
}

// A file is sent as soon as it is chosen, and only then: after that the form carries its hash.
async function sendFile(input) {
  const [file] = input.files;
  if (!file) return;
  if (file.size > Number(input.dataset.most)) {
    input.value = "";
    refuse(input, [input.dataset.tooLarge]);
    return;
  }
  // Until its turn comes the field that held it may be another.
  const withFile = () => { const body = new FormData(form); body.set(input.name, file); return body; };
  shown.classList.add("busy");
  const done = await remake("redraw", input.id, withFile);
  shown.classList.remove("busy");
  if (!done) refuse(document.getElementById(input.id) ?? input, [input.dataset.notSent]);
}

// Says beside a field what is wrong with it.
function refuse(input, words) {
  const field = input.closest(".field");
  field.querySelector(".said")?.remove();
  field.classList.add("wrong");
  const said = document.createElement("div");
  said.className = "said";
  said.setAttribute("role", "alert");
  for (const line of words) {
    const part = document.createElement("p");
    part.textContent = `✗ ${line}`;
    said.append(part);
  }
  input.before(said);
}

if (form?.dataset.preview) {
  form.addEventListener("input", (event) => { if (event.target.type !== "file") ask(); });
  form.addEventListener("change", (event) => {
    if (event.target.type === "file") sendFile(event.target);
    else if (event.target.closest(".again")) remake("redraw", event.target.id);
  });
  // Other scripts of the page need not know of a press that sends nothing.
  form.addEventListener("click", (event) => {
    const press = event.target.closest("button[name=do]");
    const what = press?.value ?? "";
    if (!/^(add|without|redraw)\b/.test(what) || event.detail === 0 && press.classList.contains("unseen")) return;
    event.preventDefault();
    remake(what).then((done) => {
      const same = () => [...form.elements].find((field) => field.name === "do" && field.value === what);
      if (!done) form.requestSubmit(press.isConnected ? press : same());
    });
  });
  form.addEventListener("keydown", (event) => {
    if (event.key !== "Enter" || event.target.tagName !== "INPUT" || event.target.type === "file") return;
    event.preventDefault();
    ask();
  });
  // What the device kept takes the place of the whole form.
  form.addEventListener("putback", async ({ detail: { values, done } }) => {
    const body = () => {
      const whole = new URLSearchParams(values);
      for (const name of ["seen", "weight.job"]) whole.set(name, form.elements[name]?.value ?? "");
      return whole;
    };
    done(await remake("redraw", "", body));
  });
}
