// Puts the page together.

field("title").textContent = data.title;
field("made").textContent = `Judged by ${data.made_by}${data.made_at ? `, ${utc(data.made_at)}` : ""}`;
if (data.partial !== null) {
  field("partial").textContent = `Partial: ${data.partial}`;
  field("partial").hidden = false;
}
const inventedCode = data.flags.indexOf("invented");
const inventedRows = all.filter(row => hasFlag(row, inventedCode)).length;
if (inventedRows) {
  field("invented").textContent = `INVENTED DATA · demonstration: ${whole(inventedRows)} of ${whole(all.length)} records`;
  field("invented").hidden = false;
}
if (data.without_personal_data) {
  field("privacy").textContent = "No personal data: technicians and customers are left out.";
} else if (all.some(row => row.technician !== null || row.customer !== null)) {
  field("privacy").textContent = "With personal data: names of technicians or customers. Hand it on to nobody who need not know them.";
}
field("order").append(...ORDERS.map(order => el("option", {value: order.id}, order.long || order.label)));
// a phone would show nothing but flags
if (innerWidth < 760) field("flags_box").open = false;
makeChoices();

field("asked").addEventListener("submit", event => event.preventDefault());
let waiting = 0;
field("text").addEventListener("input", () => {
  clearTimeout(waiting);
  waiting = setTimeout(() => {
    asked.text = field("text").value;
    apply();
  }, 150);
});
field("order").addEventListener("change", () => orderAs(field("order").value));
field("direction").addEventListener("click", () => orderAs(asked.order));
field("clear").addEventListener("click", clearFilters);
heads.addEventListener("click", event => {
  const button = event.target.closest("button");
  if (button) orderAs(button.dataset.order);
});
apply();

const wanted = /^#row(\d+)$/.exec(location.hash);
if (wanted && all[wanted[1]]) reveal(all[wanted[1]]);
