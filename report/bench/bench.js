"use strict";
const $ = (id) => document.getElementById(id);
let state = null, name = "", at = { row: -1, cell: 0 }, foreign = -1, busy = false, asked = 0;

const make = (tag, text, cls) => { const e = document.createElement(tag); if (text !== undefined) e.textContent = text; if (cls) e.className = cls; return e; };
const svg = (tag, attributes) => { const e = document.createElementNS("http://www.w3.org/2000/svg", tag); for (const k in attributes) e.setAttribute(k, attributes[k]); return e; };

// ask sends a request to this page's own server, and gives what it says.
async function ask(path, body) {
  const how = body === undefined ? {} : { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) };
  try {
    const r = await fetch(path, { ...how, cache: "no-store" });
    if (!r.ok) return { error: (await r.text()) || r.statusText };
    return await r.json();
  } catch {
    return { error: "neckfit does not answer: is it still running?" };
  }
}

const kit = () => state && state.kit;
const current = () => { const row = kit() && kit().rows[at.row]; return row ? { row, cell: row.cells[at.cell] } : null; };

// goOn moves to the next number that is still blank, from the one after this; round to the first.
function goOn() {
  const rows = kit().rows, all = [];
  rows.forEach((r, i) => r.cells.forEach((c, j) => all.push({ row: i, cell: j, blank: c.text === "" })));
  const here = all.findIndex((c) => c.row === at.row && c.cell === at.cell);
  const next = all.slice(here + 1).find((c) => c.blank) || all.slice(0, here + 1).find((c) => c.blank && !(c.row === at.row && c.cell === at.cell));
  if (next) at = { row: next.row, cell: next.cell };
  return !!next;
}

function show(fresh, keep) {
  state = fresh;
  if (foreign >= 0 && fresh.foreign !== foreign) tell("Another program has changed the tables: this is how they stand now. Nothing was overwritten.");
  foreign = fresh.foreign;
  const k = kit();
  for (const id of ["work", "live", "list"]) $(id).hidden = !k;
  if (k && (at.row < 0 || at.row >= k.rows.length)) { at = { row: Math.max(0, k.next), cell: 0 }; keep = false; }
  $("headline").textContent = k ? k.name + ": " + (k.verdict ? k.verdict + ". " + k.headline : "nothing read yet") : "Choose a kit, or begin one.";
  $("headline").className = k ? k.verdict : "";
  $("undo").disabled = !fresh.undo;
  if ($("gauge").options.length !== fresh.gauges.length + 1) {
    const chosen = $("gauge").value;
    $("gauge").replaceChildren($("gauge").options[0], ...fresh.gauges.map((g) => { const o = make("option", g); o.value = g; return o; }));
    $("gauge").value = chosen;
  }
  kits();
  if (k) { field(keep); rows(); strips(); draw(); }
}

function tell(text) { $("notice").textContent = text; $("notice").hidden = text === ""; }

function field(keep) {
  const c = current();
  if (!c) return;
  $("step").textContent = c.row.label + (c.row.where ? ", " + c.row.where : "");
  $("label").textContent = c.cell ? c.cell.label : "";
  $("unit").textContent = c.row.unit;
  if (keep) return;
  $("number").value = c.cell ? c.cell.text : "";
  fault(c.cell ? c.cell.fault : "");
  $("number").focus();
  $("number").select();
}

function fault(text) { $("fault").textContent = text; $("number").setAttribute("aria-invalid", text ? "true" : "false"); }

function rows() {
  $("rows").replaceChildren(...kit().rows.map((r, i) => {
    const b = make("button"), item = make("li");
    b.type = "button";
    b.append(make("span", r.label + (r.where ? ", " + r.where : "")), make("span", r.cells.map((c) => c.text || "\u2026").join("; ") + " " + r.unit));
    if (r.cells.some((c) => c.fault)) b.append(make("span", "look again", "fault"));
    if (i === at.row) b.setAttribute("aria-current", "true");
    b.addEventListener("click", () => { at = { row: i, cell: Math.max(0, r.cells.findIndex((c) => c.text === "")) }; show(state); });
    item.append(b);
    return item;
  }));
}

function kits() {
  $("kits").replaceChildren(...state.kits.map((k) => {
    const b = make("button"), item = make("li");
    b.type = "button";
    b.append(k.name + " ", make("span", k.verdict || "\u2026", k.verdict), k.left ? " (" + k.left + " to read)" : "");
    if (k.name === name) b.setAttribute("aria-current", "true");
    b.addEventListener("click", () => open(k.name));
    item.append(b);
    return item;
  }));
}

function strips() {
  const list = kit().characteristics.map((c) => {
    const box = make("div", undefined, "strip"), line = make("p");
    line.append(make("span", c.name + " " + c.value), make("span", c.limits === "none" ? "" : c.limits + ", " + c.inside + " inside"), make("span", c.limits === "none" ? "" : c.verdict, c.verdict));
    box.append(line);
    if (c.strip) {
      const bar = make("div", undefined, "bar"), [low, high, value, from, to] = c.strip;
      const part = (cls, left, width) => { const i = make("i", undefined, cls); i.style.left = 100 * left + "%"; if (width !== undefined) i.style.width = 100 * width + "%"; bar.append(i); };
      part("room", low, high - low); part("u", from, to - from); part("value", value);
      bar.setAttribute("aria-hidden", "true");
      box.append(bar);
    }
    return box;
  });
  $("strips").replaceChildren(...kit().faults.map((f) => make("p", f, "fail")), ...list);
  const todo = kit().todo;
  $("todo").replaceChildren(...todo.map((text) => make("li", text)));
  $("tell").hidden = !todo.length;
  if (!list.length) $("strips").append(make("p", "Nothing can be said yet."));
}

function draw() {
  const k = kit(), c = current();
  $("drawing").classList.toggle("left", k.left);
  $("upper").textContent = k.left ? "treble" : "bass";
  $("lower").textContent = k.left ? "bass" : "treble";
  $("places").replaceChildren(...k.rows.map((r) => svg("circle", { cx: r.place.x, cy: r.place.y, r: 5, class: r.done ? "done" : "" })));
  const p = c && c.row.place;
  if (!p) return;
  $("lit").setAttribute("cx", p.x);
  $("lit").setAttribute("cy", p.y);
  $("span").setAttribute("d", "M" + p.x + " " + p.y + "V" + p.end);
  for (const side of ["bass", "treble"]) $("edge-" + side).classList.toggle("on", p.edge === side);
}

async function open(wanted) {
  name = wanted;
  at = { row: -1, cell: 0 };
  tell("");
  await refresh(false);
}

async function refresh(keep) {
  const s = await ask("state?kit=" + encodeURIComponent(name));
  if (s.error) return tell(s.error);
  show(s, keep);
}

// change sends an entry and moves on when it was taken.
async function change(path, body, then) {
  if (busy) return false;
  busy = true;
  const s = await ask(path, { kit: name, ...body });
  busy = false;
  if (s.error) { tell(s.error); return false; }
  if (s.fault) { fault(s.fault); if (s.state) show(s.state, true); return false; }
  tell("");
  state = s.state;
  if (then) then();
  show(s.state);
  return true;
}

$("entry").addEventListener("submit", async (e) => {
  e.preventDefault();
  const c = current(), text = $("number").value.trim();
  if (!c || !c.cell) return;
  if (text === c.cell.text) { fault(""); if (!goOn()) tell("Everything on this sheet has been read."); show(state); return; }
  asked++;
  await change("entry", { row: c.row.row, was: c.row.was, column: c.cell.column, text, gauge: $("gauge").value }, () => { if (text && !goOn()) tell("Everything on this sheet has been read."); });
});

// What is typed is read at once, without being written.
let soon = 0;
$("number").addEventListener("input", () => {
  clearTimeout(soon);
  soon = setTimeout(async () => {
    const c = current(), mine = ++asked;
    if (!c || !c.cell || busy) return;
    const s = await ask("try", { kit: name, row: c.row.row, was: c.row.was, column: c.cell.column, text: $("number").value });
    if (mine === asked && !s.error) fault(s.fault || "");
  }, 150);
});

$("undo").addEventListener("click", () => change("undo", {}));
$("again").addEventListener("click", () => { const c = current(); if (c) change("repeat", { row: c.row.row, was: c.row.was }, goOn); });

$("fresh").addEventListener("submit", async (e) => {
  e.preventDefault();
  const count = (id) => Number($(id).value);
  const s = await ask("kit", { kit: $("name").value.trim(), way: $("way").value, strings: count("strings"), frets: count("frets"), neckScrews: count("neck"), bridgeScrews: count("bridge"), left: $("hand").checked });
  $("refusal").textContent = s.error || s.fault || "";
  if (s.error || s.fault) return;
  name = $("name").value.trim();
  $("name").value = "";
  at = { row: -1, cell: 0 };
  show(s.state);
});

(async () => {
  await refresh(false);
  if (state && state.kits.length) await open((state.kits.find((k) => k.left) || state.kits[0]).name);
  else $("name").focus();
  setInterval(() => { if (!busy && !document.hidden) refresh(true); }, 2000);
})();
