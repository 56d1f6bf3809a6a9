// What is known of a row, what it is called, and how it is compared.

const data = JSON.parse(document.getElementById("data").textContent);
const GRAVITY_OF_NOTHING = data.flags.length + 1;

// one object a row, in the order of the paths
const all = data.rows.map(([texts, numbers, reasons, said, rounds, curve, flags, sheet], place) => {
  const row = {place, curve, sheet, open: false};
  data.text_fields.forEach((name, at) => { row[name] = data.texts[texts[at]]; });
  data.number_fields.forEach((name, at) => { row[name] = numbers[at]; });
  row.reasons = reasons.map(at => data.texts[at]);
  row.said = said && said.map(at => data.texts[at]);
  row.rounds = rounds.map(([lowest, hold, highest, verdict]) => ({lowest, hold, highest, verdict: data.texts[verdict]}));
  row.flags = flags.map(([code, words, others]) => ({code, words: data.texts[words], others}));
  return row;
});
data.rows = [];

function el(name, attributes, ...inside) {
  const made = document.createElement(name);
  for (const key in attributes) made.setAttribute(key, attributes[key]);
  made.append(...inside);
  return made;
}

// three digits, or all before the point: gauges do not know more
function amount(number) {
  if (number === null || number === undefined) return "–";
  const size = Math.abs(number);
  const places = size >= 99.95 ? 0 : size >= 9.995 ? 1 : size >= 0.9995 ? 2 : 3;
  return number.toLocaleString("en", {minimumFractionDigits: size === 0 ? 0 : places, maximumFractionDigits: places});
}

function duration(seconds) {
  if (seconds < 100) return `${amount(seconds)} s`;
  const minutes = Math.round(seconds / 60);
  if (minutes < 100) return `${minutes} min`;
  return `${Math.floor(minutes / 60)} h${minutes % 60 ? ` ${minutes % 60} min` : ""}`;
}

const whole = number => number.toLocaleString("en");
const date = row => row.started ? row.started.slice(0, 10) : "no date";
const time = row => row.started ? row.started.slice(11, 16) : "";
// a time stamp as a person reads it
const utc = stamp => stamp.replace("T", " ").replace(/(Z|\+00:00)$/, " UTC");
// of a code: what stands for a person
const words = code => code.replaceAll("_", " ");
const flagNames = data.flags.map(words);
// what stands against a pass, in the words of the headline: nobody reads "pass" without it
const reservation = row => row.verdict === "pass" && row.headline ? row.headline.replace(/^PASS[; ]*/, "") : "";
const verdictOf = row => row.verdict ? words(row.verdict) : row.unreadable ? "cannot be read" : "no verdict";
const nameOf = row => row.job || row.path.split(/[\\/]/).filter(part => part).pop() || row.path;

const VERDICTS = ["fail", "not proven", "pass", "no verdict", "cannot be read"];
const SEALS = ["broken", "other key", "none", "good"];

// a row that cannot be read comes after all that is flagged, before what is as it should be
function gravity(row) {
  if (row.flags.length) return Math.min(...row.flags.map(flag => flag.code));
  return row.unreadable ? data.flags.length : GRAVITY_OF_NOTHING;
}

// what rows may be ordered by; a key of `null` comes last either way
const ALPHABET = ["A to Z", "Z to A"], SIZE = ["lowest first", "highest first"];
const text = (id, label) => ({id, label, ways: ALPHABET, key: row => row[id]});
const number = (id, label, unit) => ({id, label, unit, ways: SIZE, key: row => row[id]});
const ORDERS = [
  {id: "look", label: "What to look at", ways: ["gravest first", "nothing to look at first"], key: gravity},
  {id: "job", label: "Job", ways: ALPHABET, key: nameOf},
  {id: "started", label: "Began", unit: "UTC", ways: ["oldest first", "newest first"], key: row => row.started},
  {id: "verdict", label: "Verdict", ways: ["fail first", "fail last"], key: row => VERDICTS.indexOf(verdictOf(row))},
  {id: "said", label: "Verdict of the shop", ways: ALPHABET, key: row => row.said && row.said[1]},
  {id: "seal", label: "Seal", ways: ["broken first", "good first"], key: row => SEALS.indexOf(row.seal)},
  text("shop", "Shop"),
  text("cause", "Cause"),
  number("confidence", "Confidence in the cause"),
  number("leak", "Leak", "micron/min"),
  number("limit", "Smallest leak to be seen", "micron/min"),
  number("lowest", "Lowest", "micron"),
  number("highest", "Highest in hold", "micron"),
  number("hold", "Hold", "min"),
  {id: "rounds", label: "Rounds", ways: SIZE, key: row => row.rounds.length},
  {id: "curve", label: "Curve", long: "Length of the record", ways: ["shortest first", "longest first"], key: row => row.curve && row.curve[0]},
  text("serial", "Serial number"),
  text("appliance", "Appliance"),
  text("refrigerant", "Refrigerant"),
  number("volume", "Volume", "L"),
  number("ambient", "Ambient temperature", "°C"),
  text("repair", "Repair"),
  text("gauge", "Gauge"),
  text("calibration_due", "Calibration due"),
  text("isolated_by", "Isolation by"),
  text("criteria", "Criteria"),
  text("test", "Test"),
  text("technician", "Technician"),
  text("customer", "Customer"),
  text("path", "Path"),
].filter(order => !["technician", "customer"].includes(order.id) || all.some(row => row[order.id] !== null));
const orderBy = id => ORDERS.find(order => order.id === id);

const collator = new Intl.Collator("en", {numeric: true});

// stable: equal rows stay in the order of their paths
function ordered(rows, order, down) {
  const keys = new Map(rows.map(row => [row, order.key(row)]));
  const sign = down ? -1 : 1;
  return rows.slice().sort((a, b) => {
    const one = keys.get(a), other = keys.get(b);
    if (one === null || other === null) return (one === null) - (other === null) || a.place - b.place;
    const difference = typeof one === "number" ? one - other : collator.compare(one, other);
    return sign * difference || a.place - b.place;
  });
}
