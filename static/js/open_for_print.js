// On paper a picture stands with its figures: what is folded away opens for printing.
{
  const folded = ".picture details:not([open])";
  addEventListener("beforeprint", () => {
    for (const one of document.querySelectorAll(folded)) {
      one.open = true;
      one.dataset.forPaper = "";
    }
  });
  addEventListener("afterprint", () => {
    for (const one of document.querySelectorAll("[data-for-paper]")) {
      one.open = false;
      delete one.dataset.forPaper;
    }
  });
}
