// Shows anew what comes of the bench when a figure is changed. What is refused is sent as
// the button would send it, so that the page says what is wrong and keeps every figure.
{
  const bench = document.querySelector("form[data-refreshes]");
  const shown = (page) => page.getElementById(bench.dataset.refreshes);
  let latest = 0;
  const refresh = async () => {
    latest += 1;
    const mine = latest;
    const address = `${bench.action}?${new URLSearchParams(new FormData(bench))}`;
    const answer = await fetch(address).catch(() => null);
    if (!answer || mine !== latest) return;
    if (!answer.ok) {
      bench.requestSubmit();
      return;
    }
    const page = new DOMParser().parseFromString(await answer.text(), "text/html");
    if (mine !== latest) return;
    shown(document).replaceWith(shown(page));
    history.replaceState(null, "", address);
  };
  if (bench) bench.addEventListener("change", refresh);
}
