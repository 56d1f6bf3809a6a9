//! Random edits: a thousand of each kind by default, ten thousand with
//! `cargo test --release -p run-record --test sealed -- --ignored --nocapture`
//! (`DRYHOLD_PROOF_EDITS` for another number). Lines that begin with `proof:` hold
//! the figures, which PROOF.md collects: what was done, a colon, what came of it.

use run_record::{Answer, Link, Verification, verify, verify_by};

use super::{Sealed, lines, snapshot};

/// Always the same random numbers.
struct Dice(u64);

impl Dice {
    fn below(&mut self, limit: usize) -> usize {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        (self.0 >> 11) as usize % limit
    }
}

const FEW: usize = 1_000;
const MANY: usize = 10_000;

fn many() -> usize {
    let number = std::env::var("DRYHOLD_PROOF_EDITS");
    number.map_or(MANY, |text| text.parse().expect("a number of edits"))
}

fn is_caught(found: &Verification) -> bool {
    matches!(
        found.answer(true),
        Answer::Altered | Answer::ProductChanged | Answer::OtherKey | Answer::SealMissing
    )
}

/// One byte changed, removed or put in.
fn edit_byte(bytes: &mut Vec<u8>, dice: &mut Dice) {
    let at = dice.below(bytes.len());
    match dice.below(4) {
        0 => bytes[at] ^= 1 << dice.below(8),
        1 => bytes[at] = bytes[at].wrapping_add(1 + dice.below(255) as u8),
        2 => drop(bytes.remove(at)),
        _ => bytes.insert(at, b" \n\r,0"[dice.below(5)]),
    }
}

/// Edits bytes of these files; gives how many were not caught.
fn uncaught_byte_edits(names: &[&str], edits: usize, dice: &mut Dice) -> Vec<String> {
    let sealed = Sealed::of(120);
    let key = sealed.key.public();
    let mut uncaught = Vec::new();
    for edit in 0..edits {
        // every file has its turn: by size the trace would have nearly all
        let name = names[edit % names.len()];
        let whole = sealed.read(name);
        let mut edited = whole.clone();
        edit_byte(&mut edited, dice);
        sealed.write(name, &edited);
        if !verify_by(&sealed.folder, Some(&key)).is_ok_and(|v| is_caught(&v)) {
            uncaught.push(format!("{name}, edit {edit}"));
        }
        sealed.write(name, &whole);
    }
    assert_eq!(
        verify_by(&sealed.folder, Some(&key)).unwrap().answer(true),
        Answer::AsSealed
    );
    uncaught
}

fn byte_edits_of_the_folder(edits: usize) {
    let names: Vec<String> = snapshot(&Sealed::of(3).folder)
        .into_iter()
        .map(|(name, _)| name)
        .filter(|name| name != "seal.json")
        .collect();
    let names: Vec<&str> = names.iter().map(String::as_str).collect();
    assert_eq!(names.len(), 6, "{names:?}");
    let uncaught = uncaught_byte_edits(&names, edits, &mut Dice(0x5EA1));
    println!(
        "proof: one-byte edits over the {} files of a sealed run: {edits} made, {} caught",
        names.len(),
        edits - uncaught.len()
    );
    assert!(uncaught.is_empty(), "{uncaught:?}");
}

fn byte_edits_of_the_seal(edits: usize) {
    let uncaught = uncaught_byte_edits(&["seal.json"], edits, &mut Dice(0x0DD));
    println!(
        "proof: one-byte edits of seal.json: {edits} made, {} caught",
        edits - uncaught.len()
    );
    assert!(uncaught.is_empty(), "{uncaught:?}");
}

const KINDS: [&str; 10] = [
    "row dropped",
    "row repeated",
    "rows swapped",
    "row from elsewhere put in",
    "invented row put in, its link made to fit",
    "digit altered",
    "digit altered, its own link made anew",
    "end cut off",
    "digit altered, chain made anew from there",
    "block moved",
];

/// The text of a line without its link, and the line end.
fn text_of(line: &[u8]) -> &[u8] {
    &line[..line.iter().rposition(|b| *b == b',').unwrap()]
}

fn link_of(line: &[u8]) -> Link {
    let start = line.iter().rposition(|b| *b == b',').unwrap() + 1;
    Link::from_text(line[start..].trim_ascii_end()).unwrap()
}

fn with_link(text: &[u8], link: Link) -> Vec<u8> {
    [text, b",", link.as_bytes(), b"\n"].concat()
}

/// Another digit in the middle of a row.
fn altered(line: &[u8], dice: &mut Dice) -> Vec<u8> {
    let mut line = line.to_vec();
    let digits: Vec<usize> = (0..text_of(&line).len())
        .filter(|i| line[*i].is_ascii_digit())
        .collect();
    let at = digits[dice.below(digits.len())];
    line[at] = b'0' + (line[at] - b'0' + 1 + dice.below(9) as u8) % 10;
    line
}

/// Does one edit to rows (`rows[0]` is the header).
fn edit_rows(rows: &mut Vec<Vec<u8>>, kind: usize, seed: Link, dice: &mut Dice) {
    let at = 1 + dice.below(rows.len() - 1);
    let before = |rows: &[Vec<u8>], at: usize| match at {
        1 => seed,
        _ => link_of(&rows[at - 1]),
    };
    match kind {
        0 => drop(rows.remove(at)),
        1 => rows.insert(at + 1, rows[at].clone()),
        2 => {
            let other = 1 + dice.below(rows.len() - 1);
            rows.swap(at, other);
        }
        3 => rows.insert(at, rows[1 + dice.below(rows.len() - 1)].clone()),
        4 => {
            let text = altered(&rows[at], dice);
            let row = with_link(text_of(&text), before(rows, at).next(text_of(&text)));
            rows.insert(at, row);
        }
        5 => rows[at] = altered(&rows[at], dice),
        6 => {
            let text = altered(&rows[at], dice);
            rows[at] = with_link(text_of(&text), before(rows, at).next(text_of(&text)));
        }
        7 => rows.truncate(at),
        8 => {
            rows[at] = altered(&rows[at], dice);
            for i in at..rows.len() {
                let text = text_of(&rows[i]).to_vec();
                rows[i] = with_link(&text, before(rows, i).next(&text));
            }
        }
        _ => {
            let block: Vec<Vec<u8>> = rows.drain(at..(at + 5).min(rows.len())).collect();
            let to = 1 + dice.below(rows.len());
            rows.splice(to..to, block);
        }
    }
}

fn row_edits_of_a_sealed_trace(edits: usize) {
    let sealed = Sealed::of(120);
    let key = sealed.key.public();
    let mut dice = Dice(0x0A0B);
    let mut counts = [[0_usize; 3]; KINDS.len()];
    let mut wrong = Vec::new();
    let mut edit = 0;
    while edit < edits {
        let name = ["trace.csv", "beside-pump-side.csv"][edit % 2];
        let kind = dice.below(KINDS.len());
        let whole = sealed.read(name);
        let seed = seed_in_seal(&sealed, name);
        let original = lines(&whole);
        let mut rows = original.clone();
        edit_rows(&mut rows, kind, seed, &mut dice);
        if rows == original {
            continue;
        }
        edit += 1;
        let first = (0..).find(|i| rows.get(*i) != original.get(*i)).unwrap();
        sealed.write(name, &rows.concat());
        let found = verify_by(&sealed.folder, Some(&key)).unwrap();
        sealed.write(name, &whole);
        let named = found.first_change();
        let right = named.is_some_and(|(file, change)| {
            file == name && change.from == first as u64 + 1 && change.to == change.from
        });
        counts[kind][0] += 1;
        counts[kind][1] += usize::from(is_caught(&found));
        counts[kind][2] += usize::from(right);
        if !right {
            wrong.push(format!(
                "{}: row {}, said {named:?}",
                KINDS[kind],
                first + 1
            ));
        }
    }
    for (kind, [edits, caught, right]) in KINDS.iter().zip(counts) {
        println!(
            "proof: row edits of a sealed trace, {kind}: {edits} made, {caught} caught, \
             {right} by the right row"
        );
    }
    let all = |i: usize| counts.iter().map(|c| c[i]).sum::<usize>();
    println!(
        "proof: row edits of a sealed trace, all kinds: {} made, {} caught, {} by the right row",
        all(0),
        all(1),
        all(2)
    );
    assert!(
        wrong.is_empty(),
        "{}: {:?}",
        wrong.len(),
        &wrong[..wrong.len().min(5)]
    );
    assert!(
        counts.iter().all(|c| c[0] > edits / 20 && c[1] == c[0]),
        "{counts:?}"
    );
}

fn seed_in_seal(sealed: &Sealed, name: &str) -> Link {
    let text = String::from_utf8(sealed.read("seal.json")).unwrap();
    let (_, traces) = text.split_once("\"traces\"").unwrap();
    let (_, trace) = traces.split_once(&format!("\"name\": \"{name}\"")).unwrap();
    let (_, seed) = trace.split_once("\"seed\": \"").unwrap();
    Link::from_text(&seed.as_bytes()[..16]).unwrap()
}

#[test]
fn every_byte_edit_of_a_sealed_folder_is_caught() {
    byte_edits_of_the_folder(FEW);
}

#[test]
fn every_byte_edit_of_the_seal_itself_is_caught() {
    byte_edits_of_the_seal(FEW);
}

#[test]
fn every_row_edit_of_a_sealed_trace_is_caught_and_its_row_named() {
    row_edits_of_a_sealed_trace(FEW);
}

#[test]
#[ignore = "the figures of the documentation; half a minute in a release build"]
fn ten_thousand_of_each() {
    let edits = many();
    byte_edits_of_the_folder(edits);
    byte_edits_of_the_seal(edits);
    row_edits_of_a_sealed_trace(edits);
}

/// Without a seal the chain alone speaks: what it can show, and by which row.
#[test]
fn without_a_seal_the_chain_shows_what_it_can() {
    let sealed = Sealed::of(120);
    std::fs::remove_file(sealed.folder.join("seal.json")).unwrap();
    let whole = sealed.read("trace.csv");
    let original = lines(&whole);
    let mut dice = Dice(0xC4A1);
    // a row with its own link made anew shows at the next row only
    for kind in [0, 1, 2, 3, 5, 9] {
        let (mut edits, mut right) = (0, 0);
        for _ in 0..500 {
            let mut rows = original.clone();
            let seed = link_of(&original[1]); // only used where links are made anew
            edit_rows(&mut rows, kind, seed, &mut dice);
            // cut off the end: only a seal can show that
            if rows == original || original.starts_with(&rows) {
                continue;
            }
            edits += 1;
            let first = (0..).find(|i| rows.get(*i) != original.get(*i)).unwrap() as u64 + 1;
            sealed.write("trace.csv", &rows.concat());
            let found = verify(&sealed.folder).unwrap();
            assert_eq!(found.answer(false), Answer::Altered, "{}", KINDS[kind]);
            right += usize::from(found.first_change().is_some_and(|(_, c)| c.from == first));
        }
        println!(
            "proof: row edits without a seal, {}: {edits} made, {right} caught by the right row",
            KINDS[kind]
        );
        assert_eq!(edits, right, "{}", KINDS[kind]);
        assert!(edits > 400);
    }
}
