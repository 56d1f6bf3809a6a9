// What is shown, and in which order.

const field = id => document.getElementById(id);
const asked = {text: "", verdict: null, seal: null, flag: null, order: "look", down: false};

// everything that is written of a row, made when somebody first looks for something
let haystacks = null;
function haystack(row) {
  const of = row => [...data.text_fields.filter(name => name !== "kind").map(name => row[name]), ...(row.said || []),
    ...row.flags.map(flag => `${flagNames[flag.code]} ${flag.words}`)].join("\n").toLowerCase();
  haystacks ||= all.map(of);
  return haystacks[row.place];
}

const FLAGGED = -1, CLEAN = -2;
function hasFlag(row, code) {
  if (code === CLEAN) return !row.flags.length && !row.unreadable;
  return code === FLAGGED ? row.flags.length > 0 : row.flags.some(flag => flag.code === code);
}

function matches(row, terms) {
  return (asked.verdict === null || verdictOf(row) === asked.verdict)
    && (asked.seal === null || row.seal === asked.seal)
    && (asked.flag === null || hasFlag(row, asked.flag))
    && terms.every(term => haystack(row).includes(term));
}

const flagName = code => code === FLAGGED ? "anything" : code === CLEAN ? "nothing" : flagNames[code];

// buttons that choose one value of a filter, with how many there are of it
function choices(place, key, values) {
  for (const [value, name, count, style] of values) {
    const button = el("button", {type: "button", class: `choice ${style}`, "aria-pressed": "false"},
      el("b", {}, whole(count)), ` ${name}`);
    button.addEventListener("click", () => {
      asked[key] = asked[key] === value ? null : value;
      apply();
    });
    button.chooses = [key, value];
    field(place).append(button);
  }
}

function count(of) {
  const counts = new Map();
  for (const row of all) for (const value of of(row)) counts.set(value, (counts.get(value) || 0) + 1);
  return counts;
}

function makeChoices() {
  const verdicts = count(row => [verdictOf(row)]);
  choices("verdicts", "verdict", VERDICTS.filter(name => verdicts.has(name))
    .map(name => [name, name, verdicts.get(name), name.replaceAll(" ", "_")]));
  const seals = count(row => [row.seal]);
  choices("seals", "seal", SEALS.filter(name => seals.has(name)).map(name => [name, name, seals.get(name), ""]));
  // each flag once a row, however often the row has it
  const flags = count(row => [row.flags.length ? FLAGGED : row.unreadable ? null : CLEAN,
    ...new Set(row.flags.map(flag => flag.code))]);
  const codes = [FLAGGED, ...data.flags.keys(), CLEAN];
  choices("flags", "flag", codes.filter(code => flags.has(code)).map(code => [code, flagName(code), flags.get(code), ""]));
}

function tell(rows) {
  for (const button of document.querySelectorAll(".choice")) {
    const [key, value] = button.chooses;
    button.setAttribute("aria-pressed", String(asked[key] === value));
  }
  const order = orderBy(asked.order), way = order.ways[asked.down ? 1 : 0];
  const filters = [
    asked.verdict && `verdict ${asked.verdict}`, asked.seal && `seal ${asked.seal}`,
    asked.flag !== null && `to look at: ${flagName(asked.flag)}`, asked.text.trim() && `found by “${asked.text.trim()}”`,
  ].filter(filter => filter);
  const which = filters.length ? `${whole(rows.length)} of ${whole(all.length)} records: ${filters.join("; ")}`
    : `All ${whole(all.length)} records`;
  field("shown").textContent = `${which}. Order: ${(order.long || order.label).toLowerCase()}, ${way}.`;
  field("clear").hidden = !filters.length;
  field("order").value = asked.order;
  field("direction").textContent = way;
  for (const head of heads.children) {
    const chosen = head.firstChild.dataset.order === asked.order;
    if (chosen) head.setAttribute("aria-sort", asked.down ? "descending" : "ascending");
    else head.removeAttribute("aria-sort");
    head.querySelector(".arrow").textContent = chosen ? (asked.down ? "▼" : "▲") : "";
  }
}

function apply() {
  const terms = asked.text.toLowerCase().split(/\s+/).filter(term => term);
  const rows = ordered(all.filter(row => matches(row, terms)), orderBy(asked.order), asked.down);
  layOut(rows);
  tell(rows);
  // of another order the beginning is what somebody wants to see
  if (scrollY > table.offsetTop) scrollTo(0, table.offsetTop);
}

function clearFilters() {
  Object.assign(asked, {text: "", verdict: null, seal: null, flag: null});
  field("text").value = "";
  apply();
}

function orderAs(id) {
  asked.down = asked.order === id ? !asked.down : false;
  asked.order = id;
  apply();
}
