// A wearer in a short form: what to look at and feel, with a drawing beside each answer. What is left open, the card asks.
import { fresh, h } from "./dom.js";
import { picture } from "./pictures.js";
import { t } from "./words.js";

// Own hair from the root down the back, stretched: our own estimate for an adult of middling height.
const REACH = { ear: ["4 in", "10 cm"], chin: ["8 in", "20 cm"], shoulder: ["12 in", "30 cm"], armpit: ["16 in", "40 cm"], midback: ["20 in", "50 cm"], waist: ["26 in", "66 cm"] };

export function wearerForm(done, { units = "inch", button }) {
  const answers = {};
  const name = fresh("name");
  const error = h("p", { role: "alert", class: "wrong" });

  function choose(fact, options, { pictured = true, values = options } = {}) {
    const id = fresh("fact");
    return h("fieldset", { class: pictured ? "pictured" : "plainly" },
      h("legend", {}, t(`wearer.${fact}`)),
      h("p", { class: "hint", id }, t(`wearer.${fact}.how`)),
      h("div", { class: "answers" }, [...options, "unknown"].map((option, n) => {
        const value = option === "unknown" ? "unknown" : values[n];
        return h("label", { class: "answer" },
          h("input", { type: "radio", name: id, value, checked: option === "unknown", "aria-describedby": id, onchange: () => { answers[fact] = value; } }),
          pictured ? picture(`${fact === "own hair" ? "length" : fact}.${option}`) || h("span", { class: "no-picture", "aria-hidden": "true" }, "?") : null,
          h("span", { class: "answer-name" }, t(option === "unknown" ? "wearer.unknown" : `answer.${fact}.${option}`)));
      })));
  }

  const unit = units === "metric" ? 1 : 0;
  const measured = h("input", { type: "text", inputmode: "decimal", id: fresh("measured"), autocomplete: "off" });
  const age = h("input", { type: "text", inputmode: "numeric", id: fresh("age"), autocomplete: "off" });
  const allergies = h("input", { type: "text", id: fresh("allergies"), autocomplete: "off" });
  const around = h("input", { type: "text", inputmode: "decimal", id: fresh("around"), autocomplete: "off" });
  const unitWord = ["in", "cm"][unit];

  const form = h("form", {
    class: "wearer-form", novalidate: true,
    onsubmit: async (event) => {
      event.preventDefault();
      error.textContent = "";
      const given = { ...answers, name: form.elements.namedItem(name).value };
      if (measured.value.trim()) given["own hair"] = `${measured.value.trim()} ${unitWord}`;
      if (around.value.trim()) given.circumference = `${around.value.trim()} ${unitWord}`;
      if (age.value.trim()) given.age = `${age.value.trim()} years`;
      if (allergies.value.trim()) given.allergies = allergies.value.trim();
      send.disabled = true;
      try { await done(given); } catch (refused) {
        error.textContent = [refused.message, refused.help].filter(Boolean).join(". ");
        if (!given.name.trim()) form.elements.namedItem(name).focus();
      }
      send.disabled = false;
    },
  },
    h("p", {}, h("label", { for: name }, t("wearer.name")), h("input", { id: name, name, type: "text", autocomplete: "off", maxlength: 60, required: true })),
    h("p", { class: "hint" }, t("wearer.open")),
    choose("strand", ["fine", "medium", "coarse"]),
    choose("density", ["sparse", "medium", "dense"]),
    choose("texture", ["straight", "wavy", "curly", "coily"]),
    choose("own hair", Object.keys(REACH), { values: Object.values(REACH).map((both) => both[unit]) }),
    h("p", {}, h("label", { for: measured.id }, t("wearer.measured", { unit: t(`unit.${unitWord}`) })), measured),
    choose("edges", ["healthy", "thin", "fragile"], { pictured: false }),
    choose("scalp", ["healthy", "dry", "flaking", "sore", "broken", "infected"], { pictured: false }),
    choose("tender head", ["no", "yes"], { pictured: false }),
    choose("reacts to added hair", ["no", "yes"], { pictured: false }),
    h("details", {}, h("summary", {}, t("wearer.more")),
      h("p", {}, h("label", { for: age.id }, t("wearer.age")), age),
      h("p", {}, h("label", { for: around.id }, t("wearer.around", { unit: t(`unit.${unitWord}`) })), around),
      h("p", {}, h("label", { for: allergies.id }, t("wearer.allergies")), allergies),
      choose("past breakage", ["no", "yes"], { pictured: false }),
      choose("shedding", ["ordinary", "heavy"], { pictured: false }),
      choose("patch test", ["clear", "reacted", "not done"], { pictured: false }),
      choose("arrives", ["washed and dried", "washed", "unwashed", "in an old set"], { pictured: false })),
    error);
  const send = h("button", { class: "main" }, button);
  form.append(h("p", { class: "actions" }, send));
  return form;
}
