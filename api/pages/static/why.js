// A figure that is clicked says where it comes from, without leaving the page.

import { pieceOf } from "./fragment.js";

export function reasons(place) {
  const why = document.getElementById("why");
  place?.addEventListener("click", (event) => {
    const link = event.target.closest("a.why");
    if (!link || !why || event.ctrlKey || event.metaKey || event.shiftKey) return;
    event.preventDefault();
    const reason = document.getElementById("reason");
    reason.textContent = "Looking where it comes from …";
    why.showModal();
    pieceOf(`${link.getAttribute("href")}&piece=1`, null, reason);
  });
}
