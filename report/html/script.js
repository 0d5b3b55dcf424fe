"use strict";
// Without this script the page is whole. With it a kit is laid out when it is opened, and the list
// can be filtered and sorted.
(() => {
  function listing(list) {
    const body = list.tBodies[0], source = document.getElementById("data");
    const data = source && JSON.parse(source.textContent); // the values of every characteristic; not on every page
    const at = {}; // a column's place by its key
    for (const th of list.tHead.rows[0].cells) at[th.dataset.key] = th.cellIndex;
    const words = { p: "✓ pass", u: "? unsure", f: "✕ fail", n: "– not judged" };
    const classes = { p: "pass", u: "unsure", f: "fail", n: "not-judged" };
    const rank = { f: 0, u: 1, p: 2, n: 3 };
    const codes = { pass: "p", unsure: "u", fail: "f" };

    // Each row knows its texts for the worst characteristic, and its code.
    const rows = [...body.rows].map((tr, i) => ({
      tr, number: i + 1, code: codes[tr.dataset.v] || "n", kit: tr.cells[at.kit].textContent, lot: tr.cells[at.lot].textContent,
      plain: { what: tr.cells[at.what].textContent, value: tr.cells[at.value].textContent, word: tr.cells[at.verdict].textContent, verdict: tr.dataset.v },
    }));
    for (const row of rows) row.now = { code: row.code, what: row.plain.what, number: parseFloat(row.plain.value) };

    function judgeBy(which) {
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
    function filter() {
      const wanted = verdict.value, text = find.value.trim().toLowerCase();
      let n = 0;
      for (const row of rows) {
        const fits = (!wanted || wanted.includes(row.now.code)) && (!text || (row.kit + "\n" + row.lot).toLowerCase().includes(text));
        row.tr.hidden = !fits;
        if (fits) n++;
      }
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
      body.append(...order.map((row) => row.tr));
    }
    for (const th of list.tHead.rows[0].cells) {
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

  // A kit's section is text until it is opened.
  function layOut(details) {
    const text = details.querySelector(":scope > noscript");
    if (!text) return;
    const section = document.createElement("div");
    section.innerHTML = text.textContent;
    text.replaceWith(section);
  }
  document.addEventListener("toggle", (event) => {
    if (event.target.open && event.target.matches("details.kit")) layOut(event.target);
  }, true);
  function openTarget() {
    const target = /^#k\d+$/.test(location.hash) && document.querySelector(location.hash);
    if (!target) return;
    layOut(target);
    target.open = true;
    target.scrollIntoView();
  }
  window.addEventListener("hashchange", openTarget);
  document.addEventListener("click", (event) => {
    const link = event.target.closest("a[href^='#k']");
    if (link && link.hash === location.hash) openTarget();
  });
  openTarget();
})();
