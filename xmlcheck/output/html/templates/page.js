"use strict";
(() => {
  const all = (selector, root = document) => [...root.querySelectorAll(selector)];
  const findings = all(".finding");
  const controls = document.getElementById("controls");
  const box = document.getElementById("findings");
  const status = document.getElementById("status");
  if (!controls || !box) return;
  document.documentElement.classList.add("scripts");

  const parts = all(".group.part", box);
  const homes = new Map(findings.map((item) => [item, item.parentElement]));
  const rows = new Map(all("#ticks tr[data-of]").map((row) => [row.dataset.of, row]));
  const text = new Map();
  const wordsOf = (item) => {
    if (!text.has(item)) text.set(item, item.textContent.replace(/\s+/g, " ").toLowerCase());
    return text.get(item);
  };
  const chosen = (name) => controls.elements[name];
  const shown = () => all(".finding", box).filter((item) => !item.hidden);
  const say = (words) => { status.textContent = words; };

  // Order: by part as written; by grade or by rule the same articles are moved under other headings.
  const grades = all("input[name=grade]", controls).map((input) => input.value);
  function order(kind) {
    all(".group.made", box).forEach((group) => group.remove());
    parts.forEach((part) => { part.hidden = kind !== "part"; });
    if (kind === "part") {
      for (const item of findings) homes.get(item).append(item);
      return;
    }
    const key = (item) => item.dataset[kind];
    const names = [...new Set(findings.map(key))];
    names.sort((a, b) => kind === "grade" ? grades.indexOf(a) - grades.indexOf(b) : a < b ? -1 : 1);
    for (const name of names) {
      const group = document.createElement("section");
      const head = document.createElement("h2");
      const list = document.createElement("div");
      const own = findings.filter((item) => key(item) === name);
      group.className = "group made";
      if (kind === "grade") head.append(own[0].querySelector(".grade").cloneNode(true));
      else head.textContent = name;
      list.className = "list";
      list.append(...own);
      group.append(head, list);
      box.append(group);
    }
  }

  function filter() {
    const kept = new Set(all("input[name=grade]:checked", controls).map((input) => input.value));
    const accepted = chosen("accepted") ? chosen("accepted").checked : false;
    const open = chosen("open").checked;
    const wanted = {};
    for (const name of ["part", "rule", "to"]) wanted[name] = chosen(name) ? chosen(name).value : "";
    const words = chosen("words").value.toLowerCase().split(/\s+/).filter(Boolean);
    let count = 0;
    let total = 0;
    for (const item of findings) {
      const data = item.dataset;
      const known = "accepted" in data;
      const keep = kept.has(data.grade) && (accepted || !known) && !(open && item.classList.contains("done"))
        && Object.entries(wanted).every(([name, value]) => !value || data[name] === value)
        && words.every((word) => wordsOf(item).includes(word));
      item.hidden = !keep;
      const row = rows.get(item.id);
      if (row) row.hidden = !keep;
      count += keep;
      total += !known || accepted;
    }
    const kind = controls.elements.order.value;
    for (const group of all(".group", box)) {
      if (group.classList.contains("part")) group.hidden = kind !== "part" || (wanted.part !== "" && group.id !== wanted.part);
      else group.hidden = !group.querySelector(".finding:not([hidden])");
    }
    const noun = (number) => `${document.body.dataset.noun}${number === 1 ? "" : "s"}`;
    say(count === total ? `${total} ${noun(total)}` : `${count} of ${total} ${noun(total)} shown`);
  }

  function reset() {
    for (const input of all("input[name=grade]", controls)) input.checked = true;
    for (const name of ["part", "rule", "to", "words"]) if (chosen(name)) chosen(name).value = "";
    chosen("open").checked = false;
    filter();
  }

  // A link into a finding that is filtered away shows it again.
  function visit() {
    const item = document.getElementById(decodeURIComponent(location.hash.slice(1)));
    if (!item || !item.classList.contains("finding")) return;
    if (item.hidden) {
      if ("accepted" in item.dataset && chosen("accepted")) chosen("accepted").checked = true;
      reset();
    }
    item.scrollIntoView();
    item.focus({ preventScroll: true });
  }

  function step(way) {
    const list = shown();
    if (!list.length) return;
    const now = document.activeElement && document.activeElement.closest(".finding");
    const at = list.indexOf(now);
    const next = at < 0 ? (way > 0 ? 0 : list.length - 1) : Math.min(list.length - 1, Math.max(0, at + way));
    list[next].scrollIntoView({ block: "start" });
    list[next].focus({ preventScroll: true });
  }

  // Notes to the orchestrator, as plain text.
  const said = (item, selector) => {
    const found = item.querySelector(selector);
    return found ? found.textContent.replace(/\s+/g, " ").trim() : "";
  };
  function note(item) {
    const head = `${said(item, ".part")}, ${said(item, ".place")}: ${item.dataset.grade} ${item.dataset.n}, ${said(item, ".label")}`;
    const lines = [head, said(item, ".message")];
    const caution = said(item, "dd.caution");
    if (caution) lines.push(`Caution: ${caution}`);
    const remedy = said(item, ".remedy");
    if (remedy) lines.push(`What to do: ${remedy}`);
    for (const other of all(".or", item)) lines.push(`Or: ${other.textContent.trim()}`);
    const sources = said(item, ".sources");
    if (sources) lines.push(`Who says so: ${sources}`);
    return lines.join("\n");
  }
  async function copy(items) {
    const words = items.map(note).join("\n\n") + "\n";
    const told = items.length === 1 ? `Number ${items[0].dataset.n} copied as a note.` : `${items.length} copied as notes.`;
    try {
      await navigator.clipboard.writeText(words);
    } catch {
      const field = document.createElement("textarea");
      const before = document.activeElement;
      field.value = words;
      field.setAttribute("aria-label", "Note to copy");
      document.body.append(field);
      field.select();
      const done = document.execCommand("copy");
      field.remove();
      if (before) before.focus({ preventScroll: true });
      if (!done) { say("This browser does not let the page copy; select the text instead."); return; }
    }
    say(told);
  }

  // Ticks are kept by the finding's id, which survives a new export of the score.
  const store = "xmlcheck done ";
  const ticked = (id) => { try { return localStorage.getItem(store + id) !== null; } catch { return false; } };
  const keep = (id, on) => { try { on ? localStorage.setItem(store + id, "1") : localStorage.removeItem(store + id); } catch { /* not kept */ } };
  function mark(item, on) {
    item.classList.toggle("done", on);
    item.querySelector(".tick").checked = on;
    const row = rows.get(item.id);
    if (row) row.querySelector(".tick").checked = on;
  }
  function tick(item, on) {
    mark(item, on);
    keep(item.dataset.id, on);
    if (chosen("open").checked) filter();
  }
  for (const item of findings) if (ticked(item.dataset.id)) mark(item, true);

  controls.addEventListener("submit", (event) => event.preventDefault());
  controls.addEventListener("input", (event) => {
    if (event.target.name === "keys") return;
    if (event.target.name === "order") order(event.target.value);
    filter();
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest(".copy");
    if (button) copy([button.closest(".finding")]);
  });
  document.addEventListener("change", (event) => {
    if (!event.target.matches(".tick")) return;
    const row = event.target.closest("tr[data-of]");
    const item = row ? document.getElementById(row.dataset.of) : event.target.closest(".finding");
    tick(item, event.target.checked);
  });
  document.getElementById("copy-all").addEventListener("click", () => copy(shown()));
  document.getElementById("print").addEventListener("click", () => window.print());
  document.getElementById("print-ticks").addEventListener("click", () => {
    document.body.classList.add("only-ticks");
    window.print();
  });
  window.addEventListener("afterprint", () => document.body.classList.remove("only-ticks"));
  window.addEventListener("hashchange", visit);

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const typing = event.target.matches("input:not([type=checkbox]):not([type=radio]), select, textarea");
    if (event.key === "Escape") { reset(); if (typing) event.target.blur(); return; }
    if (typing || !chosen("keys").checked) return;
    const item = document.activeElement && document.activeElement.closest(".finding");
    const acts = {
      j: () => step(1),
      k: () => step(-1),
      "/": () => chosen("words").focus(),
      c: () => item && copy([item]),
      x: () => item && tick(item, !item.classList.contains("done")),
    };
    grades.forEach((grade, index) => {
      acts[String(index + 1)] = () => {
        const input = controls.querySelector(`input[name=grade][value=${grade}]`);
        input.checked = !input.checked;
        filter();
      };
    });
    if (!acts[event.key]) return;
    event.preventDefault();
    acts[event.key]();
  });

  filter();
  visit();
})();
