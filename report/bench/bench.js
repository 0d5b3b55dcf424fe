"use strict";
const $ = (id) => document.getElementById(id);
let state = null, shown = "", name = "", at = { row: -1, cell: 0 }, foreign = -1, busy = false, asked = 0;

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

// lay puts a part that the server laid out into its place, unless it stands there already.
function lay(id, text) {
  if ($(id).laid === text) return;
  $(id).laid = text;
  $(id).replaceChildren(document.createRange().createContextualFragment(text));
}

// goOn moves to the next number that is still blank, from the one after this, round to the first: once through
// all places before any is read a second time. It says when that begins, and when nothing is left.
function goOn() {
  const all = kit().rows.flatMap((r, row) => r.cells.map((c, cell) => ({ row, cell, blank: c.text === "", trial: r.trial }))).sort((a, b) => a.trial - b.trial);
  const here = all.findIndex((c) => c.row === at.row && c.cell === at.cell);
  const next = all.slice(here + 1).find((c) => c.blank) || all.slice(0, Math.max(0, here)).find((c) => c.blank);
  if (!next) return tell("Everything on this sheet has been read.");
  if (next.trial > 1 && here >= 0 && all[here].trial < 2) tell("Every place was gone through once. What follows is read anew, tool lifted and set again: that makes the verdict surer.");
  at = { row: next.row, cell: next.cell };
}

// goTo moves to a row's first number that is blank, or is to be looked at again.
function goTo(row) {
  const r = kit().rows[row];
  if (r) at = { row, cell: Math.max(0, r.cells.findIndex((c) => c.text === "" || c.fault)) };
}

function show(fresh, keep) {
  state = fresh;
  if (foreign >= 0 && fresh.foreign !== foreign) tell("Another program has changed the tables: this is how they stand now. Nothing was overwritten.");
  foreign = fresh.foreign;
  const k = kit();
  for (const id of ["work", "live", "list"]) $(id).hidden = !k;
  $("try").hidden = !k || !k.judged;
  $("first").hidden = fresh.kits.length > 0;
  $("all").hidden = !fresh.kits.length;
  if (k && (at.row < 0 || at.row >= k.rows.length)) { at = { row: Math.max(0, k.next), cell: 0 }; keep = false; }
  $("headline").textContent = k ? k.name + ": " + (k.verdict ? k.word + ": " + k.headline : "nothing read yet") : "Choose a kit, or begin one.";
  $("headline").className = k && k.verdict ? k.verdict : "";
  $("undo").disabled = !fresh.undo;
  if ($("gauge").options.length !== fresh.gauges.length + 1) {
    const chosen = $("gauge").value;
    $("gauge").replaceChildren($("gauge").options[0], ...fresh.gauges.map((g) => { const o = make("option", g); o.value = g; return o; }));
    $("gauge").value = chosen;
  }
  kits();
  const now = JSON.stringify(fresh), other = now !== shown;
  shown = now;
  if (other) told = null;
  if (k) { field(keep); rows(); live(); draw(); }
  if (other) follow();
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
    b.append(make("span", r.label + (r.where ? ", " + r.where : "")), make("span", r.cells.map((c) => c.text || "\u2026").join("; ") + " " + r.unit, "read"));
    b.lastChild.append(make("small", "line " + r.line));
    if (r.cells.some((c) => c.fault)) b.append(make("span", "look again", "fault"));
    if (i === at.row) b.setAttribute("aria-current", "true");
    b.addEventListener("click", () => { goTo(i); show(state); });
    item.append(b);
    return item;
  }));
  const list = $("rows"), now = list.children[at.row]; // where the list is long it is scrolled to what is read
  if (now) list.scrollTop = now.offsetTop - list.clientHeight / 2;
}

function kits() {
  $("kits").replaceChildren(...state.kits.map((k) => {
    const b = make("button"), item = make("li");
    b.type = "button";
    b.append(k.name + " ", make("span", k.word || "\u2026", k.verdict), k.left ? " (" + k.left + " to read)" : "");
    if (k.name === name) b.setAttribute("aria-current", "true");
    b.addEventListener("click", () => open(k.name));
    item.append(b);
    return item;
  }));
}

function live() {
  const k = kit();
  $("faults").replaceChildren(...k.faults.map((f) => make("p", f)));
  lay("table", k.tolerances || "<p>Nothing can be said yet.</p>");
  todo();
}

// todo lists what would tell more, first what is to be read again and then the row that tells most, once that is
// known.
let told = null;
function todo() {
  const list = kit().todo.slice(), again = list.filter((t) => t.row >= 0).length;
  if (told) list.splice(again, 0, { text: told.tells, row: told.row });
  $("todo").replaceChildren(...list.map((t) => {
    const item = make("li", t.text);
    if (t.row >= 0) {
      const go = make("button", "Read it now");
      go.type = "button";
      go.addEventListener("click", () => { goTo(t.row); show(state); $("work").scrollIntoView(); });
      item.append(" ", go);
    }
    return item;
  }));
  $("tell").hidden = !list.length;
}

// follow asks for what takes longer than a verdict, once the readings rest for a moment: the remedies, and
// what the sliders' moves would leave.
let resting = 0, plansAsked = 0;
function follow() {
  clearTimeout(resting);
  const mine = ++plansAsked;
  if (!kit()) return;
  $("advice").setAttribute("aria-busy", "true");
  resting = setTimeout(async () => {
    const s = await ask("plans?kit=" + encodeURIComponent(name));
    if (mine !== plansAsked) return;
    $("advice").setAttribute("aria-busy", "false");
    if (s.error) return tell(s.error);
    told = s.tells ? s : null;
    todo();
    lay("advice", s.laid);
    $("plans").hidden = !s.laid;
    whatIf();
  }, 300);
}

// The sliders: each with a field beside it for those who know the number.
const sliders = [...document.querySelectorAll(".slide")].map((box, i) => {
  const [min, max, step] = box.dataset.range.split(" "), label = box.querySelector("label"), inputs = ["range", "number"].map((type) => {
    const e = Object.assign(document.createElement("input"), { type, min, max, step: type === "range" ? step : "any", defaultValue: "0" });
    box.append(e);
    return e;
  });
  inputs[1].id = label.htmlFor = "slide" + i;
  inputs[0].setAttribute("aria-label", box.closest("fieldset").querySelector("legend").textContent.split(/[,;:]/)[0] + ": " + label.textContent);
  inputs.forEach((e, n) => e.addEventListener("input", () => {
    inputs[1 - n].value = e.value;
    if (box.dataset.of.startsWith("Seat")) $("set").checked = true;
    whatIf();
  }));
  return { of: box.dataset.of.split(" "), value: () => (inputs[1].checkValidity() ? Number(inputs[1].value) : NaN) };
});

// said shows what a try says, with its verdict where it stays in sight, or why there is none.
function said(wrong, laid) {
  lay("outcome", laid);
  $("said").className = wrong ? "wrong" : "";
  const say = $("outcome").querySelector(".say");
  if (wrong || !laid) $("said").textContent = wrong; else if (say) $("said").replaceChildren(say);
}

let trying = 0, tries = 0;
function whatIf() {
  clearTimeout(trying);
  const mine = ++tries, moves = { Bass: [0, 0], Treble: [0, 0], Seat: [0, 0], Set: $("set").checked, Plug: $("plug").checked };
  let any = moves.Set, wrong = false;
  for (const s of sliders) {
    const x = s.value(), [of, i] = s.of;
    wrong ||= Number.isNaN(x);
    any ||= x !== 0;
    if (i) moves[of][i] = x; else moves[of] = x;
  }
  if (wrong || !any) return said(wrong ? "A number is out of its slider's range." : "", "");
  $("outcome").setAttribute("aria-busy", "true");
  trying = setTimeout(async () => {
    const s = await ask("whatif", { kit: name, moves });
    if (mine !== tries) return;
    $("outcome").setAttribute("aria-busy", "false");
    said(s.error || s.fault || "", s.laid || "");
  }, 60);
}
$("moves").addEventListener("submit", (e) => { e.preventDefault(); whatIf(); });
$("moves").addEventListener("reset", () => setTimeout(whatIf));
for (const id of ["set", "plug"]) $(id).addEventListener("change", whatIf);

function draw() {
  const k = kit(), c = current();
  $("drawing").classList.toggle("left", k.left);
  $("upper").textContent = k.left ? "bass" : "treble";
  $("lower").textContent = k.left ? "treble" : "bass";
  $("places").replaceChildren(...k.rows.map((r) => svg("circle", { cx: r.place.x, cy: r.place.y, r: 5, class: r.done ? "done" : "" })));
  const p = c && c.row.place;
  if (!p) return;
  $("lit").setAttribute("cx", p.x);
  $("lit").setAttribute("cy", p.y);
  $("span").setAttribute("d", "M" + p.x + " " + p.y + "V" + p.end);
  for (const side of ["bass", "treble"]) $("edge-" + side).classList.toggle("on", p.edge === side);
}

async function open(wanted) {
  if (name !== wanted) $("moves").reset();
  name = wanted;
  at = { row: -1, cell: 0 };
  tell("");
  await refresh(false);
}

async function refresh(keep) {
  const s = await ask("state?kit=" + encodeURIComponent(name));
  if (s.error) return tell(s.error);
  if (!keep || JSON.stringify(s) !== shown) show(s, keep); // what did not change keeps its focus
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
  if (text === c.cell.text) { fault(""); tell(""); goOn(); show(state); return; }
  asked++;
  await change("entry", { row: c.row.row, was: c.row.was, column: c.cell.column, text, gauge: $("gauge").value }, () => { if (text) goOn(); });
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

// What was taken back, and what is to be read once more, is what comes next.
$("undo").addEventListener("click", () => {
  const old = kit().rows.map((r) => r.was);
  change("undo", {}, () => goTo(kit().rows.findIndex((r, i) => r.was !== old[i])));
});
$("again").addEventListener("click", () => {
  const c = current(), old = new Set(kit().rows.map((r) => r.was));
  if (c) change("repeat", { row: c.row.row, was: c.row.was }, () => goTo(kit().rows.findLastIndex((r) => !r.done && !old.has(r.was))));
});

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
