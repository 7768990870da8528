// More wear found: the diameter that a bore cleaned up at goes to the service, a new plan comes back.
import { number, plain } from "./numbers.js";

const WAIT = 30000; // ms

export function startWear(form, job, put) {
  const room = document.getElementById("anew");
  const wrong = form.querySelector(".wrong");
  form.addEventListener("submit", async (event) => {
    event.preventDefault();
    const bore = form.elements.bore.value;
    const diameter = number(form.elements.diameter.value);
    wrong.textContent = diameter > 0 ? "" : "Enter the diameter.";
    if (wrong.textContent) return;
    const cut = `${plain(diameter)} ${job.length}`;
    room.replaceChildren(text("p", "Planning anew …"));
    try {
      const reply = await fetch(`/api/quotes/${job.quote}/found`, {
        method: "POST",
        headers: { "Content-Type": "application/json", Accept: "application/json" },
        body: JSON.stringify({ bores: [{ name: bore, cleanup_diameter: cut }] }),
        signal: AbortSignal.timeout(WAIT),
      });
      const found = await reply.json();
      if (!reply.ok) throw new Error((found.errors ?? []).map((one) => one.message).join("; ") || found.detail);
      room.replaceChildren(...shown(found), recorded(bore, cut, found), ...(job.orders ? [ordered(bore, cut, found)] : []));
    } catch (error) {
      room.replaceChildren();
      const gone = error instanceof TypeError || error.name === "TimeoutError";
      wrong.textContent = gone ? "No network: a new plan needs the service. Call the office before welding." : error.message;
    }
  });

  // A variation order is made by the service, at the rate that the quote's letter states; the office prints it to be signed.
  function ordered(bore, cut, found) {
    const act = text("button", "Make the variation order");
    act.type = "button";
    act.addEventListener("click", async () => {
      const cause = `bore ${bore} was clean at ${cut} only`;
      const bores = found.bores.map((one) => ({ name: one.name, wear: `${plain(one.wear_mm, 4)} mm` }));
      try {
        const reply = await fetch(`/api/quotes/${job.quote}/variations`, {
          method: "POST",
          headers: { "Content-Type": "application/json", Accept: "application/json", "Idempotency-Key": `${job.quote} ${encodeURIComponent(bore)} at ${cut}` },
          body: JSON.stringify({ cause, bores }),
          signal: AbortSignal.timeout(WAIT),
        });
        const made = await reply.json();
        if (!reply.ok) throw new Error((made.errors ?? []).map((one) => one.message).join("; ") || made.detail);
        act.replaceWith(text("p", `Variation order ${made.number} is made; the office has it, to be signed.`));
      } catch (error) {
        wrong.textContent = error.message;
      }
    });
    return act;
  }

  function recorded(bore, cut, found) {
    const act = text("button", "Record it for the office");
    act.type = "button";
    act.addEventListener("click", () => {
      const made = job.takes.has("cleanup_diameter") ? { name: bore, cleanup_diameter: cut } : { name: bore };
      const note = `more wear found: bore ${bore} clean at ${cut}; ${found.said}`;
      act.replaceWith(text("p", put(`More wear, bore ${bore}`, { bores: [made], note }) ? "Kept." : "The device is full."));
    });
    return act;
  }
}

function text(kind, said) {
  const made = document.createElement(kind);
  made.textContent = said;
  return made;
}

function shown(found) {
  const made = [text("p", found.said)];
  made[0].className = "set";
  for (const warning of found.warnings) {
    made.push(text("p", warning));
    made.at(-1).className = "stop";
  }
  for (const bore of found.bores) made.push(text("h3", `Bore ${bore.name}, layers now`), layers(bore));
  return made;
}

function layers(bore) {
  const [room, table, head, body] = ["div", "table", "thead", "tbody"].map((kind) => document.createElement(kind));
  room.className = "scroll";
  const row = (cells, kind) => {
    const made = document.createElement("tr");
    made.append(...cells.map((cell) => text(kind, cell)));
    return made;
  };
  head.append(row(bore.head, "th"));
  body.append(...bore.rows.map((cells) => row(cells, "td")));
  table.append(head, body);
  room.append(table);
  return room;
}
