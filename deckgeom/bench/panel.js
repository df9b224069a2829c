// A live panel: native labelled controls above a picture, words that are read out, and errors in one line.
// Each panel comes with a copy of this file of its own, so the count that keeps ids apart is the page's.
const nextNumber = () => (window.dgSerial = (window.dgSerial || 0) + 1);

function element(tag, className, parent) {
  const made = document.createElement(tag);
  if (className) made.className = className;
  if (parent) parent.append(made);
  return made;
}

// Each maker returns the label, the input and how a value is put into it; `send` hands a changed value to Python.
const makers = {
  slider(spec, send) {
    const input = element("input");
    Object.assign(input, { type: "range", min: 0, max: spec.steps, step: 1 });
    const said = element("output", "dg-said");
    const say = () => {
      said.textContent = spec.says[input.valueAsNumber];
      input.setAttribute("aria-valuetext", said.textContent);
    };
    input.addEventListener("input", () => { say(); send(spec.low + input.valueAsNumber * spec.step); });
    return { input, after: said, put(value) { input.value = Math.round((value - spec.low) / spec.step); say(); } };
  },
  entry(spec, send) {
    const input = element("input");
    Object.assign(input, { type: "text", placeholder: spec.hint, spellcheck: false, autocomplete: "off" });
    input.addEventListener("change", () => send(input.value));
    return { input, put(value) { if (document.activeElement !== input) input.value = value; } };
  },
  choice(spec, send) {
    const input = element("select");
    for (const option of spec.options) input.append(new Option(option, option));
    input.addEventListener("input", () => send(input.value));
    return { input, put(value) { input.value = value; } };
  },
  tick(spec, send) {
    const input = element("input");
    input.type = "checkbox";
    input.addEventListener("input", () => send(input.checked));
    return { input, put(value) { input.checked = value; } };
  },
};

// What is said beside a control: made when there is something to say, and read out when it changes.
function reply(row, input, said) {
  if (!said) return;
  let place = row.querySelector(".dg-reply");
  if (!place) {
    place = element("output", "dg-reply", row);
    place.id = `${input.id}-reply`;
    place.htmlFor = input.id;
    input.setAttribute("aria-describedby", place.id);
  }
  [row.dataset.stands] = said;
  input.setAttribute("aria-invalid", String(said[0] === "not yet"));
  if (place.textContent !== said[1]) [, place.textContent] = said;
}

function control(spec, model, name) {
  const send = (value) => {
    model.set("settings", { ...model.get("settings"), [spec.key]: value });
    model.save_changes();
  };
  const made = makers[spec.kind](spec, send);
  const row = element("div", `dg-control dg-${spec.kind}`);
  const label = element("label", "", row);
  made.input.id = `${name}-${spec.key}`;
  label.htmlFor = made.input.id;
  label.textContent = spec.label;
  row.append(made.input);
  if (made.after) { made.after.htmlFor = made.input.id; row.append(made.after); }
  return { row, put: made.put, key: spec.key, say: () => reply(row, made.input, model.get("beside")[spec.key]) };
}

function render({ model, el }) {
  const name = `dg-panel-${nextNumber()}`;
  const root = element("section", "dg-panel", el);
  const title = element("p", "dg-title", root);
  title.id = `${name}-title`;
  root.setAttribute("aria-labelledby", title.id);
  const controls = element("div", "dg-controls", root);
  const trouble = element("div", "dg-trouble", root);
  trouble.setAttribute("role", "alert");
  const details = element("details", "dg-details", root);
  element("summary", "", details).textContent = "Details, for whoever mends the program";
  const trace = element("pre", "", details);
  const picture = element("div", "dg-picture", root);
  picture.setAttribute("role", "img");
  const words = element("p", "dg-words", root);
  const numbers = element("div", "dg-numbers", root);
  const spoken = element("div", "dg-spoken", root);
  spoken.setAttribute("role", "status");

  // Keys that move a slider must not also move, cut or run cells of the notebook.
  root.addEventListener("keydown", (event) => {
    if (!event.ctrlKey && !event.metaKey && !event.altKey && !(event.key === "Enter" && event.shiftKey)) {
      event.stopPropagation();
    }
  });

  let rows = [];
  function build() {
    title.textContent = model.get("title");
    rows = model.get("specs").map((spec) => control(spec, model, name));
    controls.replaceChildren(...rows.map((made) => made.row));
    put();
  }
  function put() {
    const settings = model.get("settings");
    for (const made of rows) made.put(settings[made.key]);
  }
  let later = 0;
  function show() {
    const wrong = model.get("trouble");
    if (trouble.textContent !== wrong) trouble.textContent = wrong;
    details.hidden = !wrong;
    trace.textContent = model.get("trouble_details");
    root.classList.toggle("dg-stale", Boolean(wrong));
    controls.classList.toggle("dg-asks", Object.keys(model.get("beside")).length > 0);
    for (const made of rows) made.say();
    if (picture.dataset.turn !== String(model.get("turn"))) {
      picture.dataset.turn = model.get("turn");
      picture.innerHTML = model.get("svg");
      picture.setAttribute("aria-label", model.get("alt"));
      picture.hidden = !model.get("svg");
      picture.firstElementChild?.setAttribute("aria-hidden", "true");
      numbers.innerHTML = model.get("numbers");
      words.textContent = model.get("words");
    }
    // Read out once the hand rests, not at every step of a slider.
    clearTimeout(later);
    later = setTimeout(() => { spoken.textContent = wrong || model.get("words"); }, 600);
  }
  build();
  show();
  model.on("change:specs change:title", build);
  model.on("change:settings", put);
  model.on("change:turn", show);
  return () => {
    clearTimeout(later);
    model.off("change:specs change:title", build);
    model.off("change:settings", put);
    model.off("change:turn", show);
  };
}

export default { render };
