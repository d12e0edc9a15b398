// The code to scan carries the class code behind the "#", which browsers send to nobody.
const carried = new URLSearchParams(location.hash.slice(1)).get("code");
if (carried) {
  document.querySelector("#code").value = carried;
  history.replaceState(null, "", location.pathname);
  document.querySelector("#enter button").focus();
}
