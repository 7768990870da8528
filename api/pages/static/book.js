// The price book: what each figure does to the reference job stands below it and follows what is typed.

import { later, oneByOne, pieceOf } from "./fragment.js";
import { keeping } from "./keep.js";

const form = document.getElementById("book");
const live = document.getElementById("live");
const keep = keeping(form);

function placed() {
  const said = new Map([...live.querySelectorAll("[data-field]")].map((one) => [one.dataset.field, one.textContent]));
  const does = new Map([...live.querySelectorAll("[data-of]")].map((one) => [one.dataset.of, one]));
  for (const one of form.querySelectorAll(".field[data-name]")) {
    const [box, fault, effect] = ["input", ".fault", ".effect"].map((name) => one.querySelector(name));
    const text = said.get(one.dataset.name) ?? "";
    fault.textContent = text;
    fault.hidden = !text;
    one.classList.toggle("faulty", Boolean(text));
    if (text) box.setAttribute("aria-invalid", "true");
    else box.removeAttribute("aria-invalid");
    const row = does.get(one.dataset.name);
    if (row) effect.textContent = row.lastChild.textContent.trim();
  }
  live.querySelector(".effects")?.remove();
}

const price = later(200, oneByOne(async () => (await pieceOf("/pricebook/effect", form, live)) && placed()));
form.addEventListener("input", (event) => {
  event.target.closest(".field")?.querySelector(".state.demo")?.remove();
  keep();
  price();
});
price();
