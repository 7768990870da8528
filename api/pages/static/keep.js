// What is typed and not sent yet is kept in this browser, offered again, and warned of before it is left.

const DAYS = 7 * 24 * 3600 * 1000;
const OWN = new Set(["csrf", "key", "intent"]);

const place = (form) => `boreworth ${form.dataset.keep}`;

export function typedIn(form) {
  return [...new FormData(form)].filter(([name]) => !OWN.has(name));
}

export function keeping(form) {
  localStorage.removeItem(`${place(form)} sent`); // it came back: something is wrong in it
  const first = JSON.stringify(typedIn(form));
  let sent = false;
  const changed = () => JSON.stringify(typedIn(form)) !== first;
  const keep = () => {
    if (changed()) localStorage.setItem(place(form), JSON.stringify({ at: Date.now(), base: form.dataset.base, typed: typedIn(form) }));
    else localStorage.removeItem(place(form));
  };
  form.addEventListener("submit", (event) => {
    if (event.submitter?.value === "add") return;
    sent = true;
    localStorage.setItem(`${place(form)} sent`, "1");
  });
  addEventListener("beforeunload", (event) => {
    if (!sent && changed()) event.preventDefault();
  });
  return keep;
}

export function kept(form) {
  try {
    const found = JSON.parse(localStorage.getItem(place(form)) ?? "null");
    return found && Date.now() - found.at < DAYS && found.base === form.dataset.base && JSON.stringify(found.typed) !== JSON.stringify(typedIn(form)) ? found : null;
  } catch {
    return null;
  }
}

export function landed() {
  for (const name of Object.keys(localStorage).filter((one) => one.startsWith("boreworth ") && one.endsWith(" sent"))) {
    localStorage.removeItem(name);
    localStorage.removeItem(name.slice(0, -" sent".length));
  }
}

export function forget(form) {
  localStorage.removeItem(place(form));
}
