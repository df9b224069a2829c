// Things to be done at the press of a button: labelled fields, the button, progress with a stop, words and one-line errors.
// Each panel comes with a copy of this file of its own, so the count that keeps ids apart is the page's.
const nextNumber = () => (window.dgSerial = (window.dgSerial || 0) + 1);

function element(tag, className, parent, words) {
  const made = document.createElement(tag);
  if (className) made.className = className;
  if (parent) parent.append(made);
  if (words) made.textContent = words;
  return made;
}

// A field: its row, and how its value is read.
function field(spec, start, name) {
  const row = element("div", `dg-control dg-${spec.kind}`);
  const label = element("label", "", row, spec.label);
  const input = element(spec.kind === "choice" ? "select" : "input", "", row);
  input.id = `${name}-${spec.key}`;
  label.htmlFor = input.id;
  if (spec.kind === "choice") {
    for (const option of spec.options) input.append(new Option(option, option));
    input.value = start;
  } else if (spec.kind === "tick") {
    input.type = "checkbox";
    input.checked = start;
  } else {
    Object.assign(input, { type: "text", placeholder: spec.hint, spellcheck: false, autocomplete: "off", value: start });
  }
  return { row, key: spec.key, read: () => (spec.kind === "tick" ? input.checked : input.value) };
}

function form(spec, name, model) {
  const made = element("form");
  if (spec.hint) element("p", "dg-hint", made, spec.hint);
  const controls = element("div", "dg-controls", made);
  const fields = spec.fields.map((one) => field(one, spec.start[one.key], `${name}-${spec.key}`));
  controls.append(...fields.map((one) => one.row));
  const button = element("button", "", controls, spec.label);
  button.type = "submit";
  button.dataset.key = spec.key;
  made.addEventListener("submit", (event) => {
    event.preventDefault();
    if (button.getAttribute("aria-disabled") === "true") return;
    model.send({ do: spec.key, values: Object.fromEntries(fields.map((one) => [one.key, one.read()])) });
  });
  return made;
}

function render({ model, el }) {
  const name = `dg-actions-${nextNumber()}`;
  const root = element("section", "dg-panel dg-actions", el);
  const title = element("p", "dg-title", root);
  title.id = `${name}-title`;
  root.setAttribute("aria-labelledby", title.id);
  const forms = element("div", "dg-forms", root);
  const work = element("div", "dg-work", root);
  const bar = element("progress", "", work);
  bar.max = 1;
  bar.setAttribute("aria-label", "Progress");
  const part = element("output", "", work);
  const stop = element("button", "dg-stop", work);
  stop.type = "button";
  stop.addEventListener("click", () => model.send({ do: "stop" }));
  const trouble = element("div", "dg-trouble", root);
  trouble.setAttribute("role", "alert");
  const details = element("details", "dg-details", root);
  element("summary", "", details, "Details, for whoever mends the program");
  const trace = element("pre", "", details);
  const words = element("p", "dg-words", root);
  words.setAttribute("role", "status");
  const numbers = element("div", "dg-numbers", root);

  // What is typed here must not cut or run cells of the notebook.
  root.addEventListener("keydown", (event) => {
    if (!event.ctrlKey && !event.metaKey && !event.altKey && !(event.key === "Enter" && event.shiftKey)) {
      event.stopPropagation();
    }
  });

  function build() {
    title.textContent = model.get("title");
    const held = root.contains(document.activeElement) ? document.activeElement.dataset.key || "" : null;
    forms.replaceChildren(...model.get("forms").map((spec) => form(spec, name, model)));
    if (held) forms.querySelector(`button[data-key="${held}"]`)?.focus();
    run();
  }
  function run() {
    const busy = model.get("busy");
    const stopping = !work.hidden && !busy && document.activeElement === stop;
    work.hidden = !busy;
    stop.textContent = model.get("stop_label");
    if (model.get("part") < 0) bar.removeAttribute("value");
    else bar.value = model.get("part");
    part.textContent = busy;
    for (const button of forms.querySelectorAll("button")) button.setAttribute("aria-disabled", String(Boolean(busy)));
    if (stopping) forms.querySelector("button")?.focus();
  }
  function show() {
    const wrong = model.get("trouble");
    trouble.textContent = wrong;
    details.hidden = !wrong;
    trace.textContent = model.get("trouble_details");
    words.textContent = model.get("words");
    numbers.innerHTML = model.get("numbers");
  }
  build();
  show();
  model.on("change:forms change:title", build);
  model.on("change:busy change:part", run);
  model.on("change:turn", show);
  return () => {
    model.off("change:forms change:title", build);
    model.off("change:busy change:part", run);
    model.off("change:turn", show);
  };
}

export default { render };
