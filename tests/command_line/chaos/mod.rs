//! Everything at once: a recording that is killed, stopped and continued, whose disk fills
//! up, whose folder is deleted, whose gauge is unplugged, whose terminal stands still,
//! whose viewers never read and whose hook hangs. What must hold is what README.md
//! promises: nothing recorded more than a second before a kill is lost, no reading stands
//! at a wrong time, and every record verifies.
//!
//! Twenty seconds among the ordinary tests; an hour, or as many seconds as
//! `DRYHOLD_CHAOS_S` says, on request:
//!
//! ```text
//! cargo test --workspace --test command_line chaos -- --ignored --nocapture
//! ```
//!
//! What is done in which order follows from the seed, which is printed;
//! `DRYHOLD_CHAOS_SEED` repeats it. The computer's clock is not set here, which would
//! need the right to set it and disturb every other program: that is tested on clocks of
//! the test's own, beside the session.

mod record;
mod world;

use std::time::{Duration, Instant};

use self::world::World;

/// Readings a second.
const PER_S: u32 = 20;

/// What is thrown in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
enum Act {
    Kill,
    StopAndGoOn,
    HoldTerminal,
    FreeTerminal,
    FillDisk,
    DeleteTrace,
    DeleteFolder,
    ReplaceTrace,
    Unplug,
    StuckViewers,
    SuspendKey,
    EndCleanly,
}

/// With how many lots each is in the draw.
const LOTS: [(Act, u32); 12] = [
    (Act::Kill, 6),
    (Act::StopAndGoOn, 4),
    (Act::HoldTerminal, 3),
    (Act::FreeTerminal, 2),
    (Act::FillDisk, 1),
    (Act::DeleteTrace, 2),
    (Act::DeleteFolder, 2),
    (Act::ReplaceTrace, 1),
    (Act::Unplug, 2),
    (Act::StuckViewers, 2),
    (Act::SuspendKey, 1),
    (Act::EndCleanly, 2),
];

/// Numbers that a seed repeats (splitmix64, Steele, Lea and Flood 2014; from memory).
struct Dice(u64);

impl Dice {
    fn throw(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut z = self.0;
        z = (z ^ (z >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        z = (z ^ (z >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        z ^ (z >> 31)
    }

    fn below(&mut self, end: u64) -> u64 {
        self.throw() % end.max(1)
    }

    fn between_ms(&mut self, low: u64, high: u64) -> Duration {
        Duration::from_millis(low + self.below(high - low))
    }

    fn act(&mut self) -> Act {
        let all: u32 = LOTS.iter().map(|(_, lots)| lots).sum();
        let mut lot = self.below(all.into()) as u32;
        for (act, lots) in LOTS {
            match lot.checked_sub(lots) {
                Some(rest) => lot = rest,
                None => return act,
            }
        }
        Act::Kill
    }
}

#[expect(clippy::print_stdout, reason = "the seed, and what was done with it")]
fn chaos(time: Duration) {
    let seed = std::env::var("DRYHOLD_CHAOS_SEED").ok();
    let seed = seed.and_then(|s| s.parse().ok()).unwrap_or_else(|| {
        use std::hash::BuildHasher;
        std::hash::RandomState::new().hash_one(Instant::now()) >> 32
    });
    println!("chaos for {} s with the seed {seed}", time.as_secs());
    let mut dice = Dice(seed);
    let mut world = World::begin(&mut dice);
    let end = Instant::now() + time;
    while Instant::now() < end {
        let pause = dice.between_ms(100, 1_500);
        world.talk(pause);
        let act = dice.act();
        world.act(act, &mut dice);
    }
    let told = world.end();
    println!("{told}");
}

#[test]
fn whatever_happens_at_once_the_promise_holds() {
    chaos(Duration::from_secs(20));
}

#[test]
#[ignore = "an hour, or DRYHOLD_CHAOS_S seconds"]
fn whatever_happens_for_an_hour_the_promise_holds() {
    let seconds = std::env::var("DRYHOLD_CHAOS_S").ok();
    let seconds = seconds.and_then(|s| s.parse().ok()).unwrap_or(3_600);
    chaos(Duration::from_secs(seconds));
}
