"use strict";
(() => {
  const root = document.documentElement;
  const make = (name, attributes, text) => {
    const element = document.createElement(name);
    for (const [key, value] of Object.entries(attributes || {})) element.setAttribute(key, value);
    if (text !== undefined) element.textContent = text;
    return element;
  };
  const plain = (text) => text.trim().toLowerCase().replaceAll("\u2212", "-");
  // Browsers that draw page margins print the title block there, on every page.
  if ("CSSMarginRule" in window) root.classList.add("margin-boxes");

  // What is jumped to or takes the focus must not stand behind the bar.
  const bar = document.querySelector(".bar");
  const clear = () => {
    const sticks = getComputedStyle(bar).position === "sticky";
    root.style.scrollPaddingTop = sticks ? `${bar.offsetHeight + 12}px` : "";
  };
  new ResizeObserver(clear).observe(bar);
  clear();

  // Tables: sort by a column's button, filter by words.
  const collator = new Intl.Collator("en", { numeric: true });
  const compare = (numeric) => (a, b) => {
    if (a === "" || b === "") return (a === "") - (b === "");
    return numeric ? parseFloat(a) - parseFloat(b) : collator.compare(a, b);
  };
  function sort(table, column) {
    const head = table.tHead.rows[0].cells[column];
    const down = head.getAttribute("aria-sort") === "ascending";
    for (const cell of table.tHead.rows[0].cells) cell.removeAttribute("aria-sort");
    head.setAttribute("aria-sort", down ? "descending" : "ascending");
    const order = compare(head.classList.contains("num"));
    const keyed = [...table.tBodies[0].rows].map((row) => [plain(row.cells[column].textContent), row]);
    keyed.sort((a, b) => (down && a[0] !== "" && b[0] !== "" ? -1 : 1) * order(a[0], b[0]));
    table.tBodies[0].append(...keyed.map(([, row]) => row));
  }
  function filter(table, words, status) {
    const wanted = plain(words).split(/\s+/).filter(Boolean);
    const all = table.tBodies[0].rows.length;
    let shown = 0;
    for (const row of wanted.length || table.filtered ? table.tBodies[0].rows : []) {
      const text = wanted.length ? [...row.cells].map((cell) => plain(cell.textContent)).join(" ") : "";
      row.hidden = !wanted.every((word) => text.includes(word));
      if (!row.hidden) ++shown;
    }
    table.filtered = wanted.length > 0;
    table.classList.toggle("filtered", table.filtered);  // on paper then all that is shown
    status.textContent = wanted.length ? `filtered by \u201c${words.trim()}\u201d: ${shown} of ${all} rows` : `${all} ${all === 1 ? "row" : "rows"}`;
    status.parentElement.classList.toggle("active", wanted.length > 0);
  }
  const kWorthFiltering = 5;  // rows: fewer are seen at a glance
  function dressTable(table) {
    [...table.tHead.rows[0].cells].forEach((cell, column) => {
      const button = make("button", { type: "button" }, cell.textContent);
      button.addEventListener("click", () => sort(table, column));
      cell.replaceChildren(button);
    });
    const line = make("div", { class: "filter" });
    line.hidden = table.tBodies[0].rows.length < kWorthFiltering;
    const label = make("label", {}, "Filter ");
    const input = make("input", { type: "search", "aria-label": "Filter " + table.caption.textContent });
    const status = make("span", { role: "status" });
    label.append(input);
    line.append(label, status);
    input.addEventListener("input", () => filter(table, input.value, status));
    table.parentElement.before(line);
    filter(table, "", status);
  }

  // Search over all sheets: whole cells first, then beginnings, then anywhere.
  const search = document.getElementById("search"), found = document.getElementById("found");
  let hits = [], at = -1, last = "", stale = false;
  const places = () => [...document.querySelectorAll("table.list tbody tr, svg.boxes:not([id^=flow]) > g[id], .rack g")];
  const parts = (place) => place.cells ? [...place.cells].map((cell) => plain(cell.textContent))
    : [...place.querySelectorAll("text")].map((text) => plain(text.firstChild ? text.firstChild.data : ""));
  function rank(place, wanted) {
    let best = 0;
    for (const part of parts(place))
      best = Math.max(best, part === wanted ? 3 : part.startsWith(wanted) ? 2 : part.includes(wanted) ? 1 : 0);
    return best;
  }
  function look(step) {
    const wanted = plain(search.value);
    document.querySelectorAll(".hit").forEach((element) => element.classList.remove("hit"));
    if (wanted === "") { found.textContent = ""; last = ""; return; }
    if (wanted !== last || stale) {
      hits = places().map((place) => [rank(place, wanted), place]).filter(([r]) => r > 0)
        .sort((a, b) => b[0] - a[0]).map(([, place]) => place);
      if (wanted !== last) at = step > 0 ? -1 : 0;
      last = wanted;
      stale = false;
    }
    if (hits.length === 0) { found.textContent = "nothing found"; return; }
    at = (at + step + hits.length) % hits.length;
    const hit = hits[at];
    hit.hidden = false;
    hit.classList.add("hit");
    hit.scrollIntoView({ block: "center", inline: "center" });
    const [number, title] = hit.closest(".sheet").querySelector("h2").children;
    found.textContent = `${at + 1} of ${hits.length}: sheet ${number.textContent}, ${title.textContent}`;
  }
  search.addEventListener("keydown", (event) => {
    if (event.key === "Enter") { event.preventDefault(); look(event.shiftKey ? -1 : 1); }
    if (event.key === "Escape") { search.value = ""; look(1); }
  });
  document.addEventListener("keydown", (event) => {
    if (event.key !== "/" || event.ctrlKey || event.metaKey || event.altKey) return;
    if (document.activeElement.matches("input, select")) return;
    event.preventDefault();
    search.focus();
  });

  // Paper, theme, printing one sheet.
  const paper = document.getElementById("paper");
  const lay = () => {
    root.classList.toggle("a4", paper.value === "A4");
    document.getElementById("paper-style").textContent = `@page { size: ${paper.value} landscape; }`;
  };
  if (new URLSearchParams(location.search).get("paper") === "A4") paper.value = "A4";
  paper.addEventListener("change", lay);
  lay();
  document.getElementById("theme").addEventListener("change", (event) => {
    if (event.target.value) root.dataset.theme = event.target.value;
    else delete root.dataset.theme;
  });
  document.getElementById("print").addEventListener("click", () => window.print());
  function dressSheet(sheet) {
    sheet.querySelectorAll("table.list").forEach(dressTable);
    const button = make("button", { type: "button" }, "Print this sheet");
    button.addEventListener("click", () => {
      root.classList.add("only");
      sheet.classList.add("chosen");
      window.print();
    });
    sheet.querySelector(".head").append(button);
  }
  document.querySelectorAll(".sheet").forEach(dressSheet);
  // A sheet that came in later, in the place of another.
  document.addEventListener("sheet", (event) => {
    dressSheet(event.target);
    stale = true;  // the same search goes on from where it was
  });
  window.addEventListener("afterprint", () => {
    root.classList.remove("only");
    document.querySelectorAll(".chosen").forEach((sheet) => sheet.classList.remove("chosen"));
  });
})();
