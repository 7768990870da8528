// A signature drawn with the finger, kept as the lines of an SVG path of a box of 600 by 240.
const LONGEST = 20000;

export function startSign(form, put) {
  const picture = form.querySelector("svg");
  const path = picture.querySelector("path");
  const wrong = form.querySelector(".wrong");
  let [lines, drawing] = ["", false];
  const show = () => path.setAttribute("d", lines);

  function at(event) {
    const box = picture.getBoundingClientRect();
    const within = (value, most) => Math.max(0, Math.min(most, Math.round(value)));
    const x = within(((event.clientX - box.left) / box.width) * 600, 600);
    return `${x} ${within(((event.clientY - box.top) / box.height) * 240, 240)}`;
  }

  picture.addEventListener("pointerdown", (event) => {
    event.preventDefault();
    picture.setPointerCapture(event.pointerId);
    drawing = lines.length < LONGEST - 30;
    if (drawing) lines += `M${at(event)}`;
  });
  picture.addEventListener("pointermove", (event) => {
    if (!drawing || lines.length > LONGEST - 30) return;
    const place = at(event);
    if (!lines.endsWith(`M${place}`) && !lines.endsWith(`L${place}`)) lines += `L${place}`;
    show();
  });
  for (const end of ["pointerup", "pointercancel"]) picture.addEventListener(end, () => (drawing = false));
  form.querySelector('[data-act="wipe"]').addEventListener("click", () => {
    lines = "";
    show();
  });
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    const signer = form.elements.signature.value.trim();
    wrong.textContent = !lines.includes("L") ? "Nothing is drawn in the box yet." : signer ? "" : "Whose signature is it?";
    if (wrong.textContent) return;
    if (!put("Signature", { signature: signer, signature_path: lines })) {
      wrong.textContent = "This device is full; it could not be kept.";
      return;
    }
    lines = "";
    show();
    form.reset();
    form.closest("details").open = false;
  });
}
