// Lets steps be moved up and down instead of being numbered by hand. The place selects
// stay the answer that is sent; they only step aside for the buttons. Until the first
// move nothing is numbered: the order that happens to be shown is nobody's answer.
{
  const select = (step) => step.querySelector("select");

  const show = (list) => {
    const steps = [...list.children];
    steps.forEach((step, index) => {
      const place = select(step).value;
      step.querySelector("b").textContent = place === "0" ? "–" : place;
      const [up, down] = step.querySelectorAll("button");
      up.disabled = index === 0;
      down.disabled = index === steps.length - 1;
    });
  };

  const number = (list) => {
    [...list.children].forEach((step, index) => {
      select(step).value = String(index + 1);
    });
    show(list);
  };

  const move = (list, step, by) => {
    if (by < 0) step.previousElementSibling.before(step);
    else step.nextElementSibling.after(step);
    number(list);
    const [up, down] = step.querySelectorAll("button");
    const [wanted, other] = by < 0 ? [up, down] : [down, up];
    (wanted.disabled ? other : wanted).focus();
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

  const prepare = (list, step) => {
    select(step).hidden = true;
    step.prepend(document.createElement("b"));
    step.append(button(list, step, -1, "↑", list.dataset.up));
    step.append(button(list, step, 1, "↓", list.dataset.down));
  };

  const arrange = (list) => {
    const places = [...list.children].sort((a, b) => select(a).value - select(b).value);
    list.append(...places);
  };

  const ready = (list) => {
    arrange(list);
    [...list.children].forEach((step) => prepare(list, step));
    show(list);
    list.closest("form")?.addEventListener("refilled", () => {
      arrange(list);
      show(list);
    });
  };

  document.querySelectorAll("[data-steps]").forEach(ready);
}
