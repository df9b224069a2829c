// A table to type in: one labelled input a cell, keys as in a spreadsheet, a block pasted at once, each cell saved when it is left.
// Each panel comes with a copy of this file of its own, so the count that keeps ids apart is the page's.
const serial = () => (window.dgSerial = (window.dgSerial || 0) + 1);
const PATIENCE = 3000; // ms that the kernel may take before the page says that it does not answer

function element(tag, className, parent, words) {
  const made = document.createElement(tag);
  if (className) made.className = className;
  if (parent) parent.append(made);
  if (words !== undefined) made.textContent = words;
  return made;
}

function render({ model, el }) {
  const name = `dg-type-in-${serial()}`;
  const root = element("section", "dg-panel dg-type-in", el);
  const title = element("p", "dg-title", root);
  title.id = `${name}-title`;
  root.setAttribute("aria-labelledby", title.id);
  const trouble = element("div", "dg-trouble", root);
  trouble.setAttribute("role", "alert");
  const matters = element("div", "dg-matters", root);
  const frame = element("div", "dg-frame", root);
  const table = element("table", "", frame);
  table.setAttribute("aria-labelledby", title.id);
  const left = element("div", "dg-matters", root);
  left.setAttribute("role", "status");
  const reads = element("output", "dg-reads", root);
  const bar = element("div", "dg-controls", root);
  const button = (words, ask) => {
    const made = element("button", "", bar, words);
    made.type = "button";
    made.addEventListener("click", ask);
    return made;
  };
  const undo = button("Take back", () => ask({ do: "undo" }));
  const redo = button("Make again", () => ask({ do: "redo" }));
  const out = button("Take this row out", () => held && ask({ do: "remove", which: [held[0]] }));
  button("Read the file again", () => ask({ do: "look_again" }));
  const back = element("span", "dg-control", bar);
  const pick = element("select", "", back);
  pick.id = `${name}-copies`;
  const label = element("label", "", null, "Good copies");
  label.htmlFor = pick.id;
  back.prepend(label);
  const go = element("button", "", back, "Go back to it");
  go.type = "button";
  go.addEventListener("click", () => pick.value && ask({ do: "restore", which: [Number(pick.value)] }));
  const state = element("p", "dg-state", root);
  state.setAttribute("role", "status");
  const says = element("div", "dg-says dg-words", root);

  let inputs = []; // rows of inputs
  let held = null; // the cell last in hand
  let number = 0; // of the last question to the kernel
  let late = 0;
  const shown = (row, column) => model.get("cells")[row]?.[column] ?? "";
  const typed = new Map(); // what was typed and is not answered yet, with the number of its question, by "row,column"

  function ask(message) {
    number += 1;
    model.send({ ...message, number, turn: model.get("turn") });
    clearTimeout(late);
    late = setTimeout(() => {
      if (model.get("answered") >= number) return;
      state.textContent = "Not saved yet: the notebook's kernel does not answer. What you typed is still in its cell.";
      root.classList.add("dg-waits");
    }, PATIENCE);
  }

  // Send what differs from what is shown as saved; a block goes as one.
  function send(cells) {
    const waits = model.get("unsaved");
    const changed = cells.filter(([row, column, words]) => words !== shown(row, column) || `${row},${column}` in waits);
    if (!changed.length) return;
    for (const [row, column, words] of changed) typed.set(`${row},${column}`, { words, number: number + 1 });
    ask({ do: "type", cells: changed });
  }
  function leave(row, column) {
    const words = inputs[row]?.[column]?.value;
    if (words === undefined) return; // the table is being built anew
    const place = `${row},${column}`;
    const again = place in model.get("unsaved") && !typed.has(place);
    if (again || words !== (typed.get(place)?.words ?? shown(row, column))) send([[row, column, words]]);
  }
  function move(row, column) {
    const to = inputs[Math.min(Math.max(row, 0), inputs.length - 1)]?.[column];
    if (to) { to.focus(); to.select(); }
  }
  function hold(row, column) {
    held = [row, column];
    const place = `${row},${column}`;
    const words = [`${model.get("heads")[column]}, ${rowName(row)}`];
    if (model.get("echoes")[place]) words.push(`is read as ${model.get("echoes")[place]}`);
    if (model.get("wrong")[place]) words.push(model.get("wrong")[place]);
    reads.textContent = words.join(": ");
  }
  // Rows are added one after another: the first empty one under the table is the next.
  function firstFree() {
    const from = model.get("lines").length;
    const found = inputs.slice(from).findIndex((row) => row.every((input) => !input.value));
    return found < 0 ? inputs.length : from + found;
  }
  const rowName = (row) => (row < model.get("lines").length ? `${model.get("row_word")} ${model.get("lines")[row]}` : "a new row");

  const steps = {
    Enter: (row, column, event) => move(row + (event.shiftKey ? -1 : 1), column),
    ArrowDown: (row, column) => move(row + 1, column),
    ArrowUp: (row, column) => move(row - 1, column),
  };
  function key(event, row, column) {
    const input = inputs[row][column], plain = !event.ctrlKey && !event.metaKey && !event.altKey;
    const end = input.value.length, at = input.selectionStart, whole = at === 0 && input.selectionEnd === end && end > 0;
    if (steps[event.key] && plain) {
      event.preventDefault();
      leave(row, column);
      steps[event.key](row, column, event);
    } else if (event.key === "Escape" && plain) {
      input.value = shown(row, column);
    } else if (plain && event.key === "ArrowRight" && (at === end || whole) && inputs[row][column + 1]) {
      event.preventDefault();
      move(row, column + 1);
    } else if (plain && event.key === "ArrowLeft" && at === 0 && inputs[row][column - 1]) {
      event.preventDefault();
      move(row, column - 1);
    } else if ((event.ctrlKey || event.metaKey) && "zy".includes(event.key.toLowerCase()) && input.value === shown(row, column)) {
      event.preventDefault();
      ask({ do: event.key.toLowerCase() === "y" || event.shiftKey ? "redo" : "undo" });
    }
  }
  function paste(event, row, column) {
    const text = event.clipboardData.getData("text/plain").replace(/\r\n?/g, "\n").replace(/\n$/, "");
    if (!/[\n\t]/.test(text)) return;
    event.preventDefault();
    let beyond = 0;
    const wide = model.get("heads").length, cells = [];
    text.split("\n").forEach((line, down) => line.split("\t").forEach((words, along) => {
      const inside = column + along < wide && (model.get("spare") || row + down < inputs.length);
      if (inside) cells.push([row + down, column + along, words.trim()]);
      else if (words.trim()) beyond += 1;
    }));
    for (const [r, c, words] of cells) if (inputs[r]?.[c]) inputs[r][c].value = words;
    send(cells);
    left.textContent = beyond ? `${beyond} pasted cells stood beyond the edge of the table and were left out.` : "";
  }

  function cell(row, column, head, body) {
    const input = element("input", "", element("td", "", body));
    Object.assign(input, { type: "text", spellcheck: false, autocomplete: "off" });
    input.setAttribute("aria-label", `${head}, ${rowName(row)}`);
    input.addEventListener("focus", () => (row > firstFree() ? move(firstFree(), column) : hold(row, column)));
    input.addEventListener("blur", () => leave(row, column));
    input.addEventListener("keydown", (event) => key(event, row, column));
    input.addEventListener("paste", (event) => paste(event, row, column));
    return input;
  }
  function build() {
    const heads = model.get("heads"), count = model.get("cells").length + model.get("spare");
    // Words in hand go over into the new table with their cell, and the caret with them.
    const now = document.activeElement, kept = inputs.some((row) => row.includes(now)) ? held : null;
    const words = kept && { value: now.value, put: now.dataset.put, from: now.selectionStart, to: now.selectionEnd };
    inputs = [];
    table.replaceChildren();
    const top = element("tr", "", element("thead", "", table));
    for (const head of [model.get("row_word"), ...heads]) element("th", "", top, head).scope = "col";
    const body = element("tbody", "", table);
    for (let row = 0; row < count; row += 1) {
      const line = element("tr", "", body);
      element("th", "", line, row < model.get("lines").length ? String(model.get("lines")[row]) : "new").scope = "row";
      inputs.push(heads.map((head, column) => cell(row, column, head, line)));
    }
    const input = kept && inputs[kept[0]]?.[kept[1]];
    if (!input) return;
    input.value = words.value;
    input.dataset.put = words.put;
    input.focus();
    input.setSelectionRange(words.from, words.to);
  }
  function put(input, words) {
    input.value = words;
    input.dataset.put = words;
  }
  function fill() {
    const wrong = model.get("wrong"), unsaved = model.get("unsaved"), echoes = model.get("echoes");
    for (const note of table.querySelectorAll(".dg-wrong-row")) note.remove();
    inputs.forEach((row, r) => {
      const words = [];
      row.forEach((input, c) => {
        const place = `${r},${c}`;
        // Words that are being typed, or were sent and are not answered yet, are never written over.
        const inHand = input === document.activeElement && input.value !== input.dataset.put;
        if (typed.has(place) && input.dataset.put === undefined) input.value = typed.get(place).words;
        else if (!typed.has(place) && !inHand) put(input, unsaved[place] ?? shown(r, c));
        input.title = echoes[place] ?? "";
        input.classList.toggle("dg-unsaved", place in unsaved);
        input.setAttribute("aria-invalid", String(place in wrong || place in unsaved));
        if (place in wrong) words.push([`${model.get("heads")[c]}: ${wrong[place]}`, input]);
        else input.removeAttribute("aria-describedby");
      });
      if (`${r},-1` in wrong) words.push([wrong[`${r},-1`], null]);
      if (words.length) explain(r, words);
    });
  }
  function settle() {
    for (const [place, { number: asked }] of typed) if (asked <= model.get("answered")) typed.delete(place);
    fill();
  }
  // What is wrong in a row stands under it, and is tied to its cell.
  function explain(row, words) {
    const line = element("tr", "dg-wrong-row");
    inputs[row][0].closest("tr").after(line);
    const room = element("td", "", line);
    room.colSpan = model.get("heads").length + 1;
    words.forEach(([said, input], k) => {
      const note = element("div", "dg-wrong", room, `✗ ${said}`);
      note.id = `${name}-${row}-${k}`;
      input?.setAttribute("aria-describedby", note.id);
    });
  }
  function show() {
    root.classList.remove("dg-waits");
    title.textContent = model.get("title");
    trouble.textContent = model.get("trouble");
    const heads = table.querySelectorAll("thead th");
    const same = inputs.length === model.get("cells").length + model.get("spare") && heads.length === model.get("heads").length + 1
      && [...table.querySelectorAll("tbody th")].every((th, row) => th.textContent === String(model.get("lines")[row] ?? "new"));
    if (!same) build();
    fill();
    matters.replaceChildren(...model.get("matters").map((words) => element("p", "", null, words)));
    says.replaceChildren(...model.get("says").map((words) => element("p", "", null, words)));
    state.textContent = model.get("state");
    out.hidden = !model.get("spare");
    undo.disabled = !model.get("can_undo");
    redo.disabled = !model.get("can_redo");
    const chosen = pick.value;
    pick.replaceChildren(...model.get("kept").map(([copy, words]) => new Option(words, copy)));
    if ([...pick.options].some((one) => one.value === chosen)) pick.value = chosen;
    back.hidden = !model.get("kept").length;
    if (held && inputs[held[0]]) hold(...held);
  }
  // What is typed here must not cut or run cells of the notebook.
  root.addEventListener("keydown", (event) => {
    if (!event.ctrlKey && !event.metaKey && !event.altKey && !(event.key === "Enter" && event.shiftKey)) event.stopPropagation();
    if (table.contains(event.target)) event.stopPropagation();
  });
  show();
  model.on("change:turn", show);
  model.on("change:answered", settle);
  return () => {
    clearTimeout(late);
    model.off("change:turn", show);
    model.off("change:answered", settle);
  };
}

export default { render };
