"use strict";
// Without this script the page is whole, or in short where it has more than a hundred kits. With it
// a kit is laid out when it is opened, and the list can be filtered and sorted.
(() => {
  function listing(list) {
    const bodies = [...list.tBodies], step = bodies[0].rows.length, source = document.getElementById("data");
    let data = null; // the values of every characteristic, read when they are asked for
    const at = {}; // a column's place by its key
    for (const th of list.tHead.rows[0].cells) at[th.dataset.key] = th.cellIndex;
    const words = { p: "✓ pass", u: "? unsure", c: "? too coarse", i: "? incomplete", m: "? implausible", f: "✕ fail", n: "– not judged" };
    const classes = { p: "pass", u: "unsure", c: "too-coarse", i: "incomplete", m: "implausible", f: "fail", n: "not-judged" };
    const rank = { f: 0, m: 1, u: 2, c: 3, i: 4, p: 5, n: 6 };
    const codes = Object.fromEntries(Object.entries(classes).map(([code, name]) => [name, code]));

    // Each row knows its texts for the worst characteristic, and its code.
    const rows = bodies.flatMap((body) => [...body.rows]).map((tr, i) => ({
      tr, number: i + 1, code: codes[tr.dataset.v] || "n", kit: tr.cells[at.kit].textContent, lot: tr.cells[at.lot].textContent,
      plain: { what: tr.cells[at.what].textContent, value: tr.cells[at.value].textContent, word: tr.cells[at.verdict].textContent, verdict: tr.dataset.v },
    }));
    for (const row of rows) row.now = { code: row.code, what: row.plain.what, number: parseFloat(row.plain.value) };

    function judgeBy(which) {
      data = data || JSON.parse(source.textContent);
      const found = new Map();
      if (which >= 0) {
        const kits = data.kits[which] || rows.map((row) => row.number);
        kits.forEach((number, i) => found.set(number, i));
      }
      for (const row of rows) {
        const chip = row.tr.cells[at.verdict].firstElementChild, i = found.get(row.number);
        let what = row.plain.what, value = row.plain.value, word = row.plain.word, verdict = row.plain.verdict;
        row.now = { code: row.code, what, number: parseFloat(value) };
        if (which >= 0) {
          what = data.names[which];
          row.now = { code: "n", what, number: NaN };
          value = "not measured"; word = words.n; verdict = "not-judged";
          if (i !== undefined) {
            row.now = { code: data.codes[which][i], what, number: data.values[which][i] };
            value = data.texts[which][i] + " " + data.units[which];
            word = words[row.now.code]; verdict = classes[row.now.code];
          }
        }
        if (chip.textContent !== word) { chip.textContent = word; chip.className = "v " + verdict; }
        if (row.tr.cells[at.what].textContent !== what) row.tr.cells[at.what].textContent = what;
        if (row.tr.cells[at.value].textContent !== value) row.tr.cells[at.value].textContent = value;
      }
    }

    const by = document.getElementById("by"), verdict = document.getElementById("verdict"), find = document.getElementById("find");
    const shown = document.getElementById("shown");
    // A part of the table that was not yet in view has its height by the number of its rows.
    function settle() {
      for (const body of bodies) body.style.setProperty("--rows", [...body.rows].filter((tr) => !tr.hidden).length);
    }
    function filter() {
      const wanted = verdict.value, text = find.value.trim().toLowerCase();
      let n = 0;
      for (const row of rows) {
        const fits = (!wanted || wanted.includes(row.now.code)) && (!text || (row.kit + "\n" + row.lot).toLowerCase().includes(text));
        row.tr.hidden = !fits;
        if (fits) n++;
      }
      settle();
      const noun = list.dataset.noun || "kits";
      shown.textContent = n === rows.length ? "all " + n + " " + noun : n + " of " + rows.length + " " + noun;
    }

    const collator = new Intl.Collator("en", { numeric: true });
    const orders = {
      kit: (a, b) => collator.compare(a.kit, b.kit),
      lot: (a, b) => collator.compare(a.lot, b.lot),
      verdict: (a, b) => rank[a.now.code] - rank[b.now.code],
      what: (a, b) => collator.compare(a.now.what, b.now.what),
      value: (a, b) => a.now.number - b.now.number,
    };
    let sorted = null;
    function sort() {
      if (!sorted) return;
      const compare = orders[sorted.key], turn = sorted.down ? -1 : 1;
      const order = rows.slice().sort((a, b) => {
        if (sorted.key === "value") { // kits without a value come last either way
          const x = Number.isNaN(a.now.number), y = Number.isNaN(b.now.number);
          if (x || y) return x - y || a.number - b.number;
        }
        return turn * compare(a, b) || a.number - b.number;
      });
      bodies.forEach((body, i) => body.append(...order.slice(i * step, (i + 1) * step).map((row) => row.tr)));
      settle();
    }
    for (const th of list.tHead.rows[0].cells) {
      if (!th.dataset.key) continue;
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = th.textContent;
      th.replaceChildren(button);
      button.addEventListener("click", () => {
        const down = sorted !== null && sorted.key === th.dataset.key && !sorted.down;
        for (const other of th.parentNode.cells) other.removeAttribute("aria-sort");
        th.setAttribute("aria-sort", down ? "descending" : "ascending");
        sorted = { key: th.dataset.key, down };
        sort();
      });
    }
    if (by) by.addEventListener("change", () => { judgeBy(Number(by.value)); filter(); sort(); });
    verdict.addEventListener("change", filter);
    find.addEventListener("input", filter);
    const form = document.getElementById("filters");
    form.addEventListener("submit", (event) => event.preventDefault());
    form.hidden = false;
    filter();
  }
  if (document.getElementById("list")) listing(document.getElementById("list"));

  // What is closed is text until it is opened: a noscript, and in a group packed text beside it,
  // which takes its place (folds.go says why).
  const laidOut = new WeakMap();
  function layOut(details) {
    if (!laidOut.has(details)) laidOut.set(details, fill(details));
    return laidOut.get(details);
  }
  async function fill(details) {
    const text = details.querySelector(":scope > noscript"), packed = details.querySelector(":scope > script");
    if (!text) return;
    let inside = text.textContent;
    if (packed) {
      try { inside = await unpack(packed.textContent); } catch { tellShort(); }
      packed.remove();
    }
    replace(text, inside);
  }
  function replace(text, inside) {
    const section = document.createElement("div");
    section.innerHTML = inside;
    text.replaceWith(section);
  }
  function unpack(letters) {
    const bytes = Uint8Array.from(atob(letters.replaceAll("-", "+").replaceAll("_", "/")), (c) => c.charCodeAt(0));
    return new Response(new Blob([bytes]).stream().pipeThrough(new DecompressionStream("deflate-raw"))).text();
  }
  // A browser that cannot unpack shows in short what one without script does, and says so.
  const inShort = document.getElementById("in-short");
  function tellShort() {
    if (inShort && inShort.isConnected) replace(inShort, inShort.textContent);
  }
  try { new DecompressionStream("deflate-raw"); } catch { tellShort(); }

  document.addEventListener("toggle", (event) => {
    if (event.target.open) layOut(event.target);
  }, true);
  // What a word means, by the hash of its place; the glossary is text until somebody asks.
  const words = document.getElementById("words");
  function entryOf(hash) {
    if (!words || !hash.startsWith("#w-")) return null;
    layOut(words);
    return document.getElementById(hash.slice(1));
  }
  async function openTarget() {
    const word = entryOf(location.hash);
    if (word) {
      words.open = true;
      word.scrollIntoView({ behavior: "instant" });
      return;
    }
    const [, number] = /^#k(\d+)$/.exec(location.hash) || [];
    if (!number) return;
    const group = [...document.querySelectorAll("details.group")].find((g) => Number(g.dataset.first) <= number && number <= Number(g.dataset.last));
    if (group) {
      await layOut(group);
      group.open = true;
    }
    const target = document.getElementById("k" + number);
    if (!target) return;
    layOut(target);
    target.open = true;
    target.scrollIntoView({ behavior: "instant" }); // a way past a thousand kits is no sight
  }
  window.addEventListener("hashchange", openTarget);
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#k'], a[href^='#w-']");
    if (link && link.hash === location.hash) openTarget();
  });
  openTarget();

  // What a word means is shown beside it while it is pointed at or has the focus.
  const tip = document.getElementById("tip");
  if (tip) {
    let word = null; // that is explained
    const hide = () => { tip.hidden = true; word = null; };
    const place = () => { // the page may still be moving to where the word is seen
      if (!word) return;
      const at = word.getBoundingClientRect(), below = at.bottom + 6;
      tip.style.left = Math.max(8, Math.min(at.left, innerWidth - tip.offsetWidth - 8)) + "px";
      tip.style.top = (below + tip.offsetHeight > innerHeight ? at.top - tip.offsetHeight - 6 : below) + "px";
    };
    const show = (event) => {
      const link = event.target.closest ? event.target.closest('a[href^="#w-"]') : null, entry = link && entryOf(link.hash);
      if (!entry) return hide();
      word = link;
      tip.textContent = entry.nextElementSibling.firstChild.textContent;
      tip.hidden = false;
      word.setAttribute("aria-describedby", "tip");
      place();
    };
    for (const kind of ["pointerover", "focusin"]) document.addEventListener(kind, show);
    document.addEventListener("focusout", hide);
    addEventListener("scroll", place, { passive: true, capture: true });
    addEventListener("keydown", (event) => { if (event.key === "Escape") hide(); });
    document.addEventListener("click", hide);
  }
})();
