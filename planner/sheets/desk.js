"use strict";
// Keeps the page in step with the venue's files. Runs before page.js dresses the sheets.
const desk = (() => {
  const root = document.documentElement;
  const el = (id) => document.getElementById(id);
  const make = (name, attributes, ...children) => {
    const element = document.createElement(name);
    for (const [key, value] of Object.entries(attributes || {})) element.setAttribute(key, value);
    element.append(...children);
    return element;
  };
  const bare = (text) => text.trim();

  // The sheets as the server sent them, undressed, with their hashes: what is compared with what comes next.
  let shown = new Map([...document.querySelectorAll(".sheet")].map((sheet) => [sheet.id, { hash: sheet.dataset.hash, sheet: sheet.cloneNode(true) }]));
  let saved = shown;
  let state = null, trial = false, told = [];

  // --- keeping place ---
  const barBottom = () => {
    const sticks = [document.querySelector(".bar"), document.querySelector(".desk"), el("faults")].filter((e) => e && !e.hidden && getComputedStyle(e).position === "sticky");
    return sticks.reduce((bottom, e) => Math.max(bottom, e.getBoundingClientRect().bottom), 0);
  };
  // Path to the thing that stands at the top of the window, good in the next set of sheets too.
  function place() {
    const top = barBottom();
    for (const sheet of document.querySelectorAll(".sheet")) {
      if (sheet.getBoundingClientRect().bottom <= top) continue;
      let best = { sheet: sheet.id, part: null, row: null, at: sheet };
      for (const part of sheet.querySelectorAll("table.list, svg[id]")) {
        const box = part.getBoundingClientRect();
        if (box.top > top) break;
        if (box.height > 0) best = { sheet: sheet.id, part: part.id, row: null, at: part };
      }
      const table = best.at.tBodies ? best.at : null;
      const row = table && [...table.tBodies[0].rows].find((r) => r.getBoundingClientRect().bottom > top);
      if (row) best = { ...best, row: keyOf(row), at: row };
      return { ...best, top: best.at.getBoundingClientRect().top, y: scrollY };
    }
    return { sheet: null, y: scrollY };
  }
  // What a cell holds, the old value that may be struck out beside it left aside.
  const textOf = (cell) => !cell ? "" : bare([...cell.childNodes].filter((n) => !n.classList || !n.classList.contains("was")).map((n) => n.textContent).join(""));
  const keyOf = (row) => row.id || textOf(row.cells[0]) + "|" + textOf(row.cells[1]);
  function backTo(was) {
    const sheet = was.sheet && el(was.sheet), part = was.part && el(was.part);
    const row = was.row && part && part.tBodies && [...part.tBodies[0].rows].find((r) => keyOf(r) === was.row);
    const at = row || part || sheet;
    if (at) scrollBy({ top: at.getBoundingClientRect().top - was.top, behavior: "instant" });
    else scrollTo({ top: was.y, behavior: "instant" });
  }
  // Where the keyboard is in a part of the page that is about to be made anew: by the row or the named thing around
  // it, then by what it is called there, else by how manieth it is. Null: not in it.
  const kStops = "a[href], button, input, select, summary, [tabindex]";
  const nameOf = (stop) => stop.getAttribute("aria-label") || bare(stop.textContent);
  function stopIn(part) {
    const stop = document.activeElement;
    if (!stop || stop === part || !part.contains(stop)) return null;
    const row = stop.closest("tbody tr"), named = stop.parentElement.closest("[id]");
    const holder = row && row.closest("table[id]") ? row : part.contains(named) ? named : part;
    const all = [...holder.querySelectorAll(kStops)], same = all.filter((s) => nameOf(s) === nameOf(stop));
    return { table: holder === row ? row.closest("table").id : null, row: holder === row ? keyOf(row) : null,
      holder: holder === row || holder === part ? null : holder.id, name: nameOf(stop), nth: same.indexOf(stop), at: all.indexOf(stop),
      selected: stop.selectionStart ?? null, to: stop.selectionEnd ?? null };
  }
  function backToStop(part, was) {
    if (!was || part.contains(document.activeElement)) return;
    const table = was.table && el(was.table);
    const holder = was.row ? table && [...table.tBodies[0].rows].find((row) => keyOf(row) === was.row) : was.holder ? el(was.holder) : part;
    if (!holder) return;
    const all = [...holder.querySelectorAll(kStops)];
    const stop = all.filter((s) => nameOf(s) === was.name)[was.nth] || all[Math.min(was.at, all.length - 1)];
    if (!stop) return;
    stop.focus({ preventScroll: true });
    if (was.selected !== null && stop.setSelectionRange) stop.setSelectionRange(was.selected, was.to);
  }
  // What a reader set on one sheet: sorted columns, filters, scrolled tables and drawings, where the keyboard
  // is.
  function habits(sheet) {
    const out = { tables: new Map(), scrolled: [], stop: stopIn(sheet) };
    for (const table of sheet.querySelectorAll("table.list")) {
      const heads = [...table.tHead.rows[0].cells];
      const column = heads.findIndex((cell) => cell.hasAttribute("aria-sort"));
      out.tables.set(table.id, { column, down: column >= 0 && heads[column].getAttribute("aria-sort") === "descending", filter: filterOf(table).value });
    }
    for (const box of sheet.querySelectorAll(".scroll"))
      if (box.scrollLeft || box.scrollTop) out.scrolled.push([nameOf(box), box.scrollLeft, box.scrollTop]);
    return out;
  }
  const filterOf = (table) => table.closest(".scroll").previousElementSibling.querySelector("input");
  function restore(sheet, was) {
    for (const table of sheet.querySelectorAll("table.list")) {
      const habit = was.tables.get(table.id);
      if (!habit) continue;
      const head = table.tHead.rows[0].cells[habit.column];
      for (let i = 0; head && i < (habit.down ? 2 : 1); ++i) head.querySelector("button").click();
      if (!habit.filter) continue;
      filterOf(table).value = habit.filter;
      filterOf(table).dispatchEvent(new Event("input"));
    }
    const boxes = was.scrolled.length ? [...sheet.querySelectorAll(".scroll")] : [];
    for (const [name, left, top] of was.scrolled) {
      const box = boxes.find((b) => nameOf(b) === name);
      if (box) box.scrollLeft = left, box.scrollTop = top;
    }
    backToStop(sheet, was.stop);
  }

  // --- the pencil ---
  // Rows of the same first cell keep their order, so the n-th of them is the same row.
  function rowsByKey(table) {
    const seen = new Map(), out = new Map();
    for (const row of table.tBodies[0].rows) {
      const first = row.id || bare(row.cells[0].textContent);
      const n = (seen.get(first) || 0) + 1;
      seen.set(first, n);
      out.set(first + "|" + n, row);
    }
    return out;
  }
  function markTable(table, old) {
    const before = rowsByKey(old), whole = new Set([...old.tBodies[0].rows].map((row) => row.textContent));
    const by_row = table.id === "findings-list";
    let marks = 0;
    for (const [key, row] of rowsByKey(table)) {
      const was = before.get(key);
      if (by_row || !was || was.cells.length !== row.cells.length) {
        if (!whole.has(row.textContent)) row.classList.add("marked"), ++marks;
        continue;
      }
      for (let i = 0; i < row.cells.length; ++i) {
        const old_text = bare(was.cells[i].textContent);
        if (old_text === bare(row.cells[i].textContent)) continue;
        row.cells[i].classList.add("marked");
        row.cells[i].append(make("span", { class: "was" }, old_text || "\u2013"));
        ++marks;
      }
    }
    return marks;
  }
  function markDrawing(drawing, old) {
    const groups = new Map([...old.querySelectorAll("g[id]")].map((group) => [group.id, group]));
    for (const group of drawing.querySelectorAll("g[id]")) {
      const was = groups.get(group.id);
      const before = was ? [...was.querySelectorAll("text")].map((text) => text.textContent) : [];
      [...group.querySelectorAll("text")].forEach((text, i) => text.classList.toggle("marked", text.textContent !== before[i]));
    }
  }
  function mark(sheet, old) {
    let marks = 0;
    for (const table of sheet.querySelectorAll("table.list")) {
      const was = [...old.querySelectorAll("table.list")].find((t) => t.id === table.id);
      marks += was ? markTable(table, was) : table.tBodies[0].rows.length;
    }
    for (const drawing of sheet.querySelectorAll("svg.boxes")) {
      const was = [...old.querySelectorAll("svg.boxes")].find((d) => d.id === drawing.id);
      if (was) markDrawing(drawing, was);
    }
    return marks;
  }

  // --- new sheets in the place of the old ---
  const had = () => [...shown.values(), ...saved.values()];
  // What `ask` gets from the server; the sheets that the page has already come in name only. The page may have
  // lost one while it was asked: then all of them are sent.
  async function fetchSheets(ask) {
    const next = await ask([...new Set(had().map((entry) => entry.hash))].join(","));
    const hashes = new Set(had().map((entry) => entry.hash));
    return next.sheets.every((sheet) => sheet.html || hashes.has(sheet.hash)) ? next : ask("");
  }
  function entriesOf(next) {
    const known = new Map(had().map((entry) => [entry.hash, entry]));
    const sent = new DOMParser().parseFromString(next.sheets.map((sheet) => sheet.html || "").join(""), "text/html");
    return new Map(next.sheets.map(({ id, hash, html }) => [id, html ? { hash, sheet: sent.getElementById(id) } : known.get(hash)]));
  }
  function replaceSheets(next, against) {
    const was = place(), main = el("main"), entries = entriesOf(next);
    // All at once before the first is replaced: asking after that lays the page out again each time.
    const kept = new Map([...main.querySelectorAll(".sheet")].map((sheet) => [sheet.id, habits(sheet)]));
    let marks = 0, before = null;
    for (const sheet of [...main.children]) if (!entries.has(sheet.id)) sheet.remove();
    for (const [id, entry] of entries) {
      const old = el(id), reference = against.get(id), differs = reference && reference.hash !== entry.hash;
      if (old && shown.get(id).hash === entry.hash && !differs && !old.querySelector(".marked")) { before = old; continue; }
      const marked = document.importNode(entry.sheet, true);
      if (differs) marks += mark(marked, reference.sheet);
      if (old) old.replaceWith(marked);
      else if (before) before.after(marked);
      else main.prepend(marked);
      marked.dispatchEvent(new Event("sheet", { bubbles: true }));
      if (old) restore(marked, kept.get(id));
      before = marked;
    }
    shown = entries;
    dressPage(next);
    backTo(was);
    el("unmark").hidden = !document.querySelector(".marked");
    flag();
    return marks;
  }
  // What stands outside the sheets, and the revision on each of them.
  function dressPage(next) {
    el("sheet-rules").textContent = next.rules;
    document.title = `${next.venue}: document set, revision ${next.revision}`;
    root.classList.toggle("large", next.large);
    document.querySelector(".bar h1").textContent = `${next.venue}: document set`;
    const list = make("ol"), old_list = document.querySelector(".bar nav ol");
    list.innerHTML = next.links;
    if (list.innerHTML !== old_list.innerHTML) old_list.replaceWith(list);
    for (const cell of document.querySelectorAll(".block .revision")) if (cell.textContent !== next.revision) cell.textContent = next.revision;
  }
  function unmark() {
    document.querySelectorAll(".was").forEach((e) => e.remove());
    document.querySelectorAll(".marked").forEach((e) => e.classList.remove("marked"));
    el("unmark").hidden = true;
    el("slip-open").focus();
  }

  // --- faults of the files, over the sheets ---
  const tables = { device: ["equipment-list"], feed: ["equipment-list"], card: ["card-list"], switch: ["switch-list"], channel: ["channel-map"],
    run: ["wiring-list"], link: ["load-list"], carrier: ["carrier-list"], zone: ["load-list"] };
  const sheets = { device: "signal", model: "signal", feed: "signal", cable: "wiring", run: "wiring", carrier: "cards", service: "channels",
    input: "channels", channel: "channels", card: "cards", card_model: "cards", chassis: "cards", protection: "cards", addressing: "addresses",
    occupied: "addresses", switch: "network", link: "network", zone: "network", network: "network", stock: "signal", climate: "signal" };
  function elementsOf(about) {
    if (!about) return [];
    const plain = about.name.replace(/\{.*?\}/g, "");
    const names = (text) => text === about.name || (plain !== "" && (text === plain || text.startsWith(plain + "-") || text.startsWith(plain + "/")));
    for (const id of tables[about.section] || []) {
      const table = el(id);
      const row = table && about.name && [...table.tBodies[0].rows].find((r) => names(bare(r.cells[0].textContent)));
      if (!row) continue;
      const link = row.querySelector('a[href^="#p-"]'), picture = link && el(link.getAttribute("href").slice(1));
      return picture ? [row, picture] : [row];
    }
    const sheet = el(sheets[about.section] || "");
    return sheet ? [sheet.querySelector(".head")] : [];
  }
  function flag() {
    document.querySelectorAll(".faulty").forEach((e) => e.classList.remove("faulty"));
    el("flags").replaceChildren();
    const stacked = new Map();
    told.forEach((fault, i) => {
      for (const target of elementsOf(fault.about)) {
        target.classList.add("faulty");
        if (target.hidden) continue;  // by a filter
        const box = target.getBoundingClientRect(), n = stacked.get(target) || 0;
        stacked.set(target, n + 1);
        const note = make("div", { class: "flag", "data-fault": i, "aria-hidden": "true" }, make("b", {}, whereOf(fault)), " " + fault.what);
        note.style.left = `${Math.max(8, Math.min(box.left + scrollX + 24, scrollX + innerWidth - 440))}px`;
        note.style.top = `${box.bottom + scrollY + 4 + n * 34}px`;
        el("flags").append(note);
      }
    });
  }
  const whereOf = (fault) => !fault.place ? "" : fault.place.file + (fault.place.line ? `:${fault.place.line}` : "") + (fault.place.column ? `:${fault.place.column}` : "");
  function unfilter(box) {
    const filter = box.previousElementSibling.querySelector("input");
    filter.value = "";
    filter.dispatchEvent(new Event("input"));
  }
  function faultItem(fault) {
    const item = make("li", {}, make("b", {}, whereOf(fault)), ` ${fault.severity}: ${fault.what}`);
    if (fault.amount) item.append(` (${fault.amount})`);
    if (fault.cure) item.append("; ", make("span", { class: "cure" }, fault.cure));
    const [target] = elementsOf(fault.about);
    if (target) {
      const button = make("button", { type: "button" }, "Show on the sheet");
      button.addEventListener("click", () => {
        if (target.hidden) unfilter(target.closest(".scroll"));
        target.scrollIntoView({ block: "center" });
      });
      item.append(" ", button);
    }
    if (fault.line !== undefined) {
      const pre = make("pre", {}, fault.line + "\n");
      const column = (fault.place.column || 1) - 1;
      pre.append(make("span", { class: "here" }, [...fault.line].slice(0, column).map((c) => (c === "\t" ? "\t" : " ")).join("") + "^"));
      item.append(pre);
    }
    return item;
  }
  function showFaults(faults) {
    const was = place();
    told = faults;
    const count = faults.filter((f) => f.severity === "error").length;
    el("faults").hidden = faults.length === 0;
    el("faults-h").textContent = `${count} ${count === 1 ? "error" : "errors"} in the venue's files`;
    el("faults-note").textContent = state.base ? "The sheets below are of the last files without errors." : "Nothing can be planned until they are cured.";
    const list = el("faults").querySelector("ol"), stop = stopIn(list);
    list.replaceChildren(...faults.map(faultItem));
    backToStop(list, stop);
    backTo(was);
    flag();
  }

  // --- news from the server ---
  const clock = () => new Date().toLocaleTimeString("en-GB");
  function say(text, lost) {
    el("desk-news").textContent = text;
    el("desk-news").classList.toggle("lost", Boolean(lost));
  }
  // How long what is waited for will still take, by how long it took before; told once it takes over a second.
  let ticking = 0;
  function waiting(work, usual_ms) {
    const [bar, words] = el("desk-wait").children, began = performance.now();
    waited();
    ticking = setInterval(() => {
      const passed = performance.now() - began, left = usual_ms - passed;
      if (passed < 1000) return;
      bar.max = usual_ms;
      bar.value = Math.min(passed, usual_ms);
      words.textContent = `${work}, ${Math.floor(passed / 1000)} s${left > 0 ? `, about ${Math.ceil(left / 1000)} s left` : ""}`;
      el("desk-wait").hidden = false;
    }, 250);
  }
  function waited() {
    clearInterval(ticking);
    el("desk-wait").hidden = true;
  }
  const get = async (what) => {
    const answer = await fetch(what);
    if (!answer.ok) throw new Error(await answer.text());
    return answer;
  };
  const savedSheets = async (hashes) => (await get(`sheets.json?had=${hashes}`)).json();
  let busy = Promise.resolve(), base = root.dataset.base;
  function look() {
    busy = busy.then(async () => {
      const next = await (await get("desk.json")).json();
      const first = state === null, replanned = next.base !== base;
      state = next;
      let marks = 0;
      if (replanned) {
        const sheets = await fetchSheets(savedSheets), reference = first ? new Map() : saved;
        marks = replaceSheets(sheets, reference);
        saved = shown;
        trial = false;
        base = next.base;
        showMode();
      }
      showFaults(next.faults);
      if (next.base === null) say("nothing planned yet");
      else if (next.faults.length) say(`${clock()}: the files have errors; the sheets are of before`);
      else say(replanned && !first ? `${clock()}: planned anew in ${Math.round(next.planned_ms)} ms, ${marks} ${marks === 1 ? "change" : "changes"} marked`
        : `planned in ${Math.round(next.planned_ms)} ms; watching ${next.files.length} ${next.files.length === 1 ? "file" : "files"}`);
      document.dispatchEvent(new CustomEvent("desk", { detail: { state, replanned: replanned && !first } }));
    }).catch((error) => say(`the server does not answer: ${error.message}`, true)).finally(waited);
    return busy;
  }
  function showMode() {
    root.classList.toggle("trial", trial);
    el("desk-mode").hidden = !trial;
    el("desk-mode").textContent = "TRIAL: the sheets show changes that are not written";
  }
  // The sheets of a trial that `ask` gets from the server, marked against the saved ones; none when `asked_last`
  // says no by then.
  async function showTrial(ask, asked_last) {
    const sheets = await fetchSheets(ask);
    if (!asked_last()) return;
    trial = true;
    replaceSheets(sheets, saved);
    showMode();
  }
  async function showSaved() {
    if (!trial) return;
    replaceSheets(await fetchSheets(savedSheets), new Map());
    trial = false;
    showMode();
  }

  el("unmark").addEventListener("click", unmark);
  // Flags stand where their targets are: after sorting, filtering, and whatever else moves the sheets.
  const soon = () => { if (told.length) requestAnimationFrame(flag); };
  document.addEventListener("click", soon);
  new ResizeObserver(soon).observe(el("main"));
  const heights = () => {
    const height = (e) => (!e.hidden && getComputedStyle(e).position === "sticky" ? e.offsetHeight : 0);
    const strip = height(document.querySelector(".desk"));
    root.style.setProperty("--bar", `${height(document.querySelector(".bar"))}px`);
    root.style.setProperty("--strip", `${strip}px`);
    root.style.setProperty("--desk", `${strip + height(el("faults"))}px`);
  };
  const sizes = new ResizeObserver(heights);
  for (const e of [document.querySelector(".bar"), document.querySelector(".desk"), el("faults")]) sizes.observe(e);
  const events = new EventSource("events");
  events.addEventListener("desk", look);
  events.addEventListener("planning", (event) => waiting("planning", Number(event.data)));
  events.addEventListener("error", () => say("the server does not answer; it is asked again", true));
  return { el, make, stopIn, backToStop, waiting, waited, showTrial, showSaved, get state() { return state; } };
})();
