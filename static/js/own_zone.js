// Proposes the time zone of this computer where a time zone is asked for.
{
  const zones = document.querySelector("select[name=zone]");
  const own = Intl.DateTimeFormat().resolvedOptions().timeZone;
  const sentBack = document.querySelector(".error");
  if (zones && !sentBack && [...zones.options].some((option) => option.value === own)) {
    zones.value = own;
  }
}
