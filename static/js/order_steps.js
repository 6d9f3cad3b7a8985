// Lets steps be moved up and down instead of being numbered by hand. The place selects
// stay the answer that is sent; a list that is fully numbered already is left as it is.
{
  const number = (list) => {
    [...list.children].forEach((step, index) => {
      step.querySelector("select").value = String(index + 1);
    });
    refresh(list);
  };

  const refresh = (list) => {
    const steps = [...list.children];
    steps.forEach((step, index) => {
      const [up, down] = step.querySelectorAll("button");
      up.disabled = index === 0;
      down.disabled = index === steps.length - 1;
    });
  };

  const move = (list, step, by) => {
    const other = by < 0 ? step.previousElementSibling : step.nextElementSibling;
    if (!other) return;
    if (by < 0) other.before(step);
    else other.after(step);
    number(list);
    const [up, down] = step.querySelectorAll("button");
    const wanted = by < 0 ? up : down;
    (wanted.disabled ? (by < 0 ? down : up) : wanted).focus();
  };

  const button = (list, step, by, sign, words) => {
    const made = document.createElement("button");
    made.type = "button";
    made.className = "quiet";
    made.textContent = sign;
    made.setAttribute("aria-label", `${words}: ${step.querySelector("span").textContent}`);
    made.addEventListener("click", () => move(list, step, by));
    return made;
  };

  const byPlace = (list) =>
    [...list.children].sort(
      (a, b) => a.querySelector("select").value - b.querySelector("select").value,
    );

  const ready = (list) => {
    list.append(...byPlace(list));
    for (const step of list.children) {
      step.append(button(list, step, -1, "↑", list.dataset.up));
      step.append(button(list, step, 1, "↓", list.dataset.down));
      step.querySelector("select").addEventListener("change", () => refresh(list));
    }
    refresh(list);
  };

  document.querySelectorAll("[data-steps]").forEach(ready);
}
