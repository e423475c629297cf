//! Seeded chance for tests that try many inputs, and how many of them are tried.

use std::time::{Duration, Instant};

/// A linear congruential generator with the constants of Knuth's MMIX.
pub struct Chance(u64);

impl Chance {
    /// The numbers of a seed; the first few, which are alike for seeds that are near, are passed over.
    pub fn of(seed: u64) -> Self {
        let mut chance = Self(seed);
        (0..4).for_each(|_| {
            chance.next();
        });
        chance
    }
    /// A number of 31 bits.
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        self.0 >> 33
    }
    /// A number below `end`, 0 if that is 0.
    pub fn below(&mut self, end: usize) -> usize {
        self.next() as usize % end.max(1)
    }
    /// One of them.
    pub fn pick<'a, T: ?Sized>(&mut self, from: &[&'a T]) -> &'a T {
        from[self.below(from.len())]
    }
    /// A byte.
    pub fn byte(&mut self) -> u8 {
        self.next() as u8
    }
}

/// Numbers at which programs stumble.
pub const NUMBERS: &[&str] = &[
    "0",
    "-1",
    "1",
    "7",
    "8",
    "9",
    "63",
    "64",
    "65",
    "127",
    "128",
    "255",
    "256",
    "1024",
    "1025",
    "65535",
    "65536",
    "1114111",
    "1114112",
    "55296",
    "2147483647",
    "-2147483648",
    "4294967296",
    "99999999999999999999",
    "0.5",
    "1e9",
    "",
];

/// Seeds of cases: `count` of them, or other ones for as many seconds as `PAGELOOM_FUZZ_SECONDS` says, and then prints how many.
pub fn seeds(count: u64) -> impl Iterator<Item = u64> {
    let seconds = std::env::var("PAGELOOM_FUZZ_SECONDS").ok().and_then(|seconds| seconds.parse().ok());
    let end = seconds.map(|seconds| Instant::now() + Duration::from_secs(seconds));
    let first = if end.is_some() { 1_000_000 } else { 0 };
    (first..).take_while(move |seed| {
        let Some(end) = end else { return *seed < count };
        let goes_on = Instant::now() < end;
        if !goes_on {
            let name = std::thread::current().name().unwrap_or_default().to_owned();
            println!("{name}: {} seeds", seed - first);
        }
        goes_on
    })
}
