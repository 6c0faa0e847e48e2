"use strict";
// The trial slip: changes that are tried on the plan, and written to the venue's files when they are wanted.
(() => {
  const { el, make } = desk;
  const edits = new Map();  // by what they are about; a later one takes the place of an earlier
  let offers = null, base = null, wait = null, run = 0, usual_ms = 0;

  const db = (value) => value === null ? "none" : `${String(Math.round(value * 1000) / 1000).replace("-", "\u2212")} dB`;
  const fixed = (value, digits) => value.toFixed(digits).replace("-", "\u2212");

  // --- the form ---
  function option(value, text, chosen) {
    const out = make("option", { value }, text);
    out.selected = Boolean(chosen);
    return out;
  }
  function number(value, range, name) {
    const out = make("input", { type: "number", step: range.step_db ?? "any", min: range.low_db, max: range.high_db, "aria-label": name });
    out.value = String(Math.round(value * 1000) / 1000);
    return out;
  }
  function padSelect(value, name) {
    const losses = new Set([...offers.stocked_pads.map((pad) => pad.loss_db), ...(value === null ? [] : [value])]);
    const out = make("select", { "aria-label": name });
    out.append(option("", "none", value === null));
    for (const loss of [...losses].sort((a, b) => a - b)) out.append(option(loss, db(loss), loss === value));
    return out;
  }
  // One setting of one device: a field per lane and whether the planner may find it.
  function setting(device, what, now, given, field, edit) {
    const row = make("div", { class: "setting" }, make("span", { class: "what" }, what));
    const lanes = Array.isArray(now) ? now : [now];
    const fields = lanes.map((value, lane) => field(value, `${device}, ${what}${lanes.length > 1 ? `, lane ${lane + 1}` : ""}`));
    fields.forEach((f, lane) => row.append(lanes.length > 1 ? make("label", {}, `${lane + 1}`, f) : f));
    const values = () => fields.map((f) => (f.value === "" ? null : Number(f.value)));
    let found = null;
    if (given !== null) {
      found = make("input", { type: "checkbox" });
      found.checked = !given;
      row.append(make("label", {}, found, "planner finds it"));
    }
    const key = `${device}|${what}`, start = JSON.stringify([given, lanes]);
    const changed = () => {
      const left = found !== null && found.checked;
      const same = start === JSON.stringify([given === null ? null : !left, values()]) || (left && given === false);
      row.classList.toggle("touched", !same);
      if (same) edits.delete(key);
      else edits.set(key, edit(left ? null : values()));
      edited();
    };
    fields.forEach((f) => f.addEventListener("input", () => {
      if (found) found.checked = false;
      if (f.checkValidity() && (f.value !== "" || f.tagName === "SELECT")) changed();
    }));
    if (found) found.addEventListener("change", changed);
    return row;
  }
  function deviceFields(a) {
    const box = make("fieldset", {}, make("legend", {}, a.device + (a.copies.length > 1 ? ` (${a.copies.length} alike)` : "")));
    const name = a.device;
    if (a.trim) box.append(setting(name, "trim", a.trim.now_db, a.trim.given, (v, n) => number(v, a.trim.range, n),
      (v) => ({ edit: "trim", device: name, trim_db: v })));
    if (a.slope) box.append(setting(name, "slope", a.slope.now_db, a.slope.given, (v, n) => number(v, a.slope.range, n),
      (v) => ({ edit: "slope", device: name, slope_db: v && v[0] })));
    if (a.pads) box.append(setting(name, "pads", a.pads.now_db, a.pads.given, padSelect, (v) => ({ edit: "pads", device: name, pads_db: v })));
    if (a.loss) box.append(setting(name, "loss", a.loss.now_db, null, (v, n) => number(v, { low_db: 0, high_db: 60 }, n),
      (v) => ({ edit: "loss", device: name, loss_db: v[0] })));
    return box;
  }
  function freeName(names) {
    for (let n = 1; ; ++n) if (!names.has(`new-${n}`)) return `new-${n}`;
  }
  function labelled(to, text, field, id) {
    field.id = id;
    const label = make("label", { for: id }, make("span", {}, text), field);
    to.append(label);
    return field;
  }
  function cardFields() {
    const to = el("slip-card");
    to.replaceChildren();
    if (offers.card_models.length === 0) return to.append("The venue has no [[card_model]] yet.");
    const names = () => new Set([...offers.cards.map((c) => c.name), ...[...edits.values()].filter((e) => e.edit === "card").map((e) => e.name)]);
    const name = labelled(to, "Name", make("input", { type: "text" }), "card-name");
    const model = labelled(to, "Model", make("select", {}, ...offers.card_models.map((m) => option(m.name, `${m.name}, ${m.kind}`))), "card-model");
    const chassis = labelled(to, "Chassis", make("select", {}, option("", "none"), ...offers.chassis.map((c) => option(c, c))), "card-chassis");
    const like = labelled(to, "Wired like", make("select", {}), "card-like");
    const state = labelled(to, "State", make("select", {}, option("buy", "to be bought"), option("store", "in the store"), option("installed", "installed")), "card-state");
    const alike = () => like.replaceChildren(option("", "not wired"), ...offers.cards.filter((c) => c.model === model.value).map((c, i) => option(c.name, c.name, i === 0)));
    model.addEventListener("change", alike);
    alike();
    name.value = name.defaultValue = freeName(names());
    const add = make("button", { type: "button" }, "Put on the slip");
    add.addEventListener("click", () => {
      if (name.value.trim() === "") return name.focus();
      edits.set(`card|${name.value}`, { edit: "card", name: name.value.trim(), model: model.value, chassis: chassis.value, wired_like: like.value, state: state.value });
      name.value = name.defaultValue = freeName(names());
      edited();
    });
    to.append(add);
  }
  function linkFields() {
    const to = el("slip-link");
    to.replaceChildren();
    if (offers.links.length === 0) return to.append("The venue has no links.");
    const link = labelled(to, "Link", make("select", {}, ...offers.links.map((l) => option(l.name, l.name))), "link-name");
    const remove = make("button", { type: "button" }, "Put on the slip");
    remove.addEventListener("click", () => {
      edits.set(`link|${link.value}`, { edit: "no-link", link: link.value });
      edited();
    });
    to.append(remove);
  }
  function build() {
    el("slip-none").hidden = offers !== null;
    el("slip-form").hidden = offers === null;
    if (offers === null) return;
    el("slip-devices").replaceChildren(...(offers.adjustable.length ? offers.adjustable.map(deviceFields) : ["No device of this venue has anything to set."]));
    cardFields();
    linkFields();
  }

  // --- what is on the slip ---
  function listEdits(texts) {
    const keys = [...edits.keys()];
    const list = el("slip-edits"), stop = desk.stopIn(list);
    el("slip-empty").hidden = keys.length > 0;
    list.replaceChildren(...keys.map((key, i) => {
      const back = make("button", { type: "button", "aria-label": `Take back: ${texts[i] ?? key}` }, "Take back");
      back.addEventListener("click", () => {
        edits.delete(key);
        rebuild();
        edited();
      });
      return make("li", {}, texts[i] ?? key, back);
    }));
    if (stop && keys.length > 0) desk.backToStop(list, stop);
    else if (stop) el("slip-close").focus({ preventScroll: true });
    el("slip-drop").disabled = keys.length === 0;
  }
  // What was chosen for a card or a link and is not on the slip yet.
  const chosen = () => [...el("slip-form").querySelectorAll(".slip-fields :is(input, select)")]
    .filter((field) => field.options || field.value !== field.defaultValue).map((field) => [field.id, field.value]);
  function choose(was) {
    for (const [id, value] of was) {
      const field = el(id);
      if (!field || (field.options && ![...field.options].some((o) => o.value === value))) continue;
      field.value = value;
      field.dispatchEvent(new Event("change"));
    }
  }
  // The form anew: what was typed, what is on the slip and where the keyboard is are put in again.
  function rebuild() {
    const was = chosen(), stop = desk.stopIn(el("slip-form"));
    build();
    choose(was);
    for (const edit of [...edits.values()]) {
      const value = edit.trim_db ?? edit.pads_db ?? (edit.slope_db === undefined ? edit.loss_db : edit.slope_db);
      const what = { trim: "trim", slope: "slope", pads: "pads", loss: "loss" }[edit.edit];
      const box = what && [...el("slip-devices").children].find((f) => f.tagName === "FIELDSET" && f.querySelector("legend").textContent.split(" (")[0] === edit.device);
      const row = box && [...box.querySelectorAll(".setting")].find((r) => r.querySelector(".what").textContent === what);
      if (!row) continue;
      row.classList.add("touched");
      const left = row.querySelector("input[type=checkbox]"), fields = row.querySelectorAll("input[type=number], select");
      if (left) left.checked = value === null;
      if (value !== null) [value].flat().forEach((v, i) => { if (fields[i]) fields[i].value = v === null ? "" : String(v); });
    }
    desk.backToStop(el("slip-form"), stop);
  }

  // --- the outcome ---
  const paragraph = (text, style) => make("p", style ? { class: style } : {}, text);
  const plural = (n, one, many) => `${n} ${n === 1 ? one : many}`;
  function table(caption, heads, rows) {
    const shown = rows.slice(0, 12);
    const cell = ([text, style]) => make("td", style ? { class: style } : {}, text);
    const head = make("tr", {}, ...heads.map(([text, style]) => make("th", { scope: "col", ...(style ? { class: style } : {}) }, text)));
    const out = make("table", {}, make("caption", {}, caption), make("thead", {}, head),
      make("tbody", {}, ...shown.map((row) => make("tr", {}, ...row.map(cell)))));
    if (rows.length > shown.length) out.append(make("tfoot", {}, make("tr", {}, make("td", { colspan: heads.length }, `and ${rows.length - shown.length} more, marked on the sheets`))));
    return out;
  }
  const margin = (value) => value === null ? "\u2013" : fixed(value, 1);
  const ends = (level) => level === null ? "not there" : `${fixed(level.low_dbm, 1)}/${fixed(level.high_dbm, 1)}`;
  const mbps = (bps) => fixed(bps / 1e6, 1);
  const heads3 = (first, unit) => [[first], [`Was${unit}`, "num"], [`Now${unit}`, "num"]];
  function tablesOf(d) {
    const out = [];
    if (d.fresh.length) out.push(table("Findings that come", [["Severity"], ["What"]], d.fresh.map((f) =>
      [[f.severity], [[f.subject, f.what, f.amount && `(${f.amount})`].filter(Boolean).join(" "), "now"]])));
    if (d.gone.length) out.push(table("Findings that go", [["Severity"], ["What"]], d.gone.map((f) => [[f.severity], [[f.subject, f.what].filter(Boolean).join(" ")]])));
    if (d.settings.length) out.push(table("Settings", heads3("Device", ""), d.settings.map((s) => {
      const value = (x) => x === null ? "\u2013" : `${db(x.value_db)}${x.given ? "" : ", found"}`;
      return [[`${s.device}: ${s.setting}${s.lane === null ? "" : `, lane ${s.lane}`}`], [value(s.was), "num"], [value(s.now), "num now"]];
    })));
    if (d.levels.length) out.push(table("Levels, low/high edge in dBm; margin in dB",
      [["Port, lane"], ["Was", "num"], ["Now", "num"], ["Margin", "num"]], d.levels.map((l) =>
        [[`${l.port}, ${l.lane}`], [ends(l.was), "num"], [ends(l.now), "num now"],
         [`${margin(l.was && l.was.margin_db)} \u2192 ${margin(l.now && l.now.margin_db)}`, l.now && l.now.margin_db < 0 ? "num out" : "num"]])));
    if (d.channels.length) out.push(table("Channels: card input, group", heads3("Channel", ""), d.channels.map((c) => {
      const home = (x) => x === null || x.input === "" ? "nowhere" : `${x.input} ${x.address}`;
      return [[`${c.number} ${c.name}`], [home(c.was)], [home(c.now), "now"]];
    })));
    if (d.loads.length) out.push(table("Loads in the worst failure, Mbit/s", [["Link"], ["Was", "num"], ["Now", "num"], ["Limit", "num"]], d.loads.map((l) =>
      [[`${l.link}: ${l.from} \u2192 ${l.to}`], [l.was ? mbps(l.was.worst_failure_bps) : "\u2013", "num"],
       [l.now ? mbps(l.now.worst_failure_bps) : "gone", l.now && !l.now.fits ? "num out" : "num now"], [l.now ? mbps(l.now.limit_bps) : "\u2013", "num"]])));
    return out;
  }
  function outcome(result) {
    const d = result.difference, out = [];
    if (!d) {
      out.push(paragraph("This cannot be planned:", "bad"));
      for (const f of result.faults) out.push(paragraph(`${f.what}${f.cure ? `; ${f.cure}` : ""}`));
      el("slip-tables").replaceChildren();
    } else {
      const errors = d.fresh.filter((f) => f.severity === "error").length;
      if (errors) out.push(paragraph(`${plural(errors, "new error", "new errors")}.`, "bad"));
      else out.push(paragraph(d.gone.some((f) => f.severity === "error") ? "Cures errors, brings none." : "No new error.", "good"));
      out.push(paragraph(`Least margin ${margin(d.least_margin.was_db)} \u2192 ${margin(d.least_margin.now_db)} dB; cards in use ${d.cards_in_use.was} \u2192 ${d.cards_in_use.now}; ` +
        `channels without a home ${d.unplaced.was} \u2192 ${d.unplaced.now}; ${plural(d.levels.length, "level", "levels")}, ${plural(d.channels.length, "channel", "channels")} and ${plural(d.loads.length, "load", "loads")} change.`));
      el("slip-tables").replaceChildren(...tablesOf(d));
    }
    el("slip-outcome").replaceChildren(...out);
  }

  // --- talk ---
  const post = (where, body) => fetch(where, { method: "POST", headers: { "Content-Type": "application/json" }, body: JSON.stringify(body) });
  let said_of = "";  // "try" or "write"
  function said(of, text, bad) {
    said_of = of;
    el("slip-said").textContent = text;
    el("slip-said").classList.toggle("bad", Boolean(bad));
  }
  function edited() {
    said("", "");
    later();
  }
  function later() {
    clearTimeout(wait);
    wait = setTimeout(tryNow, 150);
  }
  async function tryNow() {
    const mine = ++run, asked = [...edits.values()], began = performance.now();
    // Before the first trial: it plans twice, once for what is told and once for the sheets.
    if (asked.length > 0) desk.waiting("trying", usual_ms || 2 * desk.state.planned_ms);
    try {
      if (asked.length === 0) {
        listEdits([]);
        el("slip-outcome").replaceChildren();
        el("slip-tables").replaceChildren();
        el("slip-write").disabled = true;
        return await desk.showSaved();
      }
      const answer = await post("try", { edits: asked, base });
      if (mine !== run) return;
      if (!answer.ok) return said("try", await answer.text(), true);
      if (said_of === "try") said("", "");
      const result = await answer.json();
      listEdits(result.edits);
      outcome(result);
      el("slip-write").disabled = !result.difference;
      if (!result.difference) return await desk.showSaved();
      const sheets = async (had) => {
        const answer = await post("try-sheets", { edits: asked, base, had });
        if (!answer.ok) throw new Error(await answer.text());
        return answer.json();
      };
      await desk.showTrial(sheets, () => mine === run);
      usual_ms = performance.now() - began;
    } catch (error) {
      said("try", `the server does not answer: ${error.message}`, true);
    } finally {
      if (mine === run) desk.waited();
    }
  }
  el("slip-write").addEventListener("click", async () => {
    el("slip-write").disabled = true;
    try {
      const answer = await post("write", { edits: [...edits.values()], base });
      const text = await answer.text();
      if (!answer.ok) {
        said("write", text, true);
        el("slip-write").disabled = answer.status === 409;
        return;
      }
      edits.clear();
      listEdits([]);
      el("slip-outcome").replaceChildren();
      el("slip-tables").replaceChildren();
      said("write", text);
    } catch (error) {
      said("write", `the server does not answer: ${error.message}`, true);
    }
  });
  el("slip-drop").addEventListener("click", () => {
    edits.clear();
    build();
    said("", "");
    tryNow();
  });
  function open(on) {
    el("slip").hidden = !on;
    document.documentElement.classList.toggle("with-slip", on);
    el("slip-open").setAttribute("aria-expanded", String(on));
    (on ? el("slip-close") : el("slip-open")).focus({ preventScroll: true });
  }
  el("slip-open").addEventListener("click", () => open(el("slip").hidden));
  el("slip-close").addEventListener("click", () => open(false));
  el("slip-form").addEventListener("submit", (event) => event.preventDefault());

  function take(state, replanned) {
    if (base === state.base && offers !== null) return;
    offers = state.offers;
    base = state.base;
    rebuild();
    // Tried anew on the new plan. A refusal to write stays: it comes together with the save that caused it.
    if (replanned && edits.size > 0) later();
  }
  document.addEventListener("desk", (event) => take(event.detail.state, event.detail.replanned));
  if (desk.state) take(desk.state, false);
})();
