// A job or quote page: what was kept in the browser has arrived once it is here; figures say where they come from.

import { landed } from "./keep.js";
import { reasons } from "./why.js";

landed();
reasons(document.getElementById("content"));
for (const one of document.querySelectorAll(".counts a")) {
  one.addEventListener("click", () => (document.getElementById(one.getAttribute("href").slice(1)).open = true));
}
