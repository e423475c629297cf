//! Fits additive tables to a show: the log-odds of a decision are the sum of one step from each table of its class.

use crate::player::film::SQUASH;
use crate::player::film_canvas::{Contexts, MOST_TABLES, TABLES_OF};
use crate::whole::{limited, rounded};
use std::sync::LazyLock;

/// Steps of log-odds in a nat, as in `SQUASH`.
const STEPS_A_NAT: i64 = 10;
/// While weights are fitted, they are in these parts of a step, and of a nat.
const FINE: i32 = 64;
const A_NAT: i64 = FINE as i64 * STEPS_A_NAT;
/// Probabilities while tables are fitted, in parts of this.
const WHOLE: i64 = 1 << 16;
/// A pull of each weight towards 0, as if there were this part of one more decision with even odds.
const PULL: i64 = WHOLE * 3 / 10;
/// The largest sum of steps on either side of 0.
const MOST_STEPS: i32 = 127;
/// While tables are fitted, sums are rounded to this part of a step.
const PARTS: i32 = 8;
/// The largest width of a table; it then has 2^8 entries.
const WIDEST: u8 = 8;
/// The largest weight of a table in steps, and by how much it is reduced if sums get too large.
const FARTHEST: i32 = 60;
const LESS_FAR: i32 = 2;
/// Passes over all tables: at the start, after narrowing a table, at the end, and at the end with whole steps.
const FIRST_ROUNDS: usize = 6;
const TRIAL_ROUNDS: usize = 2;
const LAST_ROUNDS: usize = 8;
const WHOLE_ROUNDS: usize = 2;
/// Widths are chosen with at most this many decisions.
const TRIED: usize = 16_000;
/// Bits are counted in parts of this.
pub const BIT: i64 = 1 << 12;
const BYTE: i64 = 8 * BIT;

/// A decision, with the contexts of all its tables.
#[derive(Clone, Copy, Debug)]
pub struct TableDecision {
    pub contexts: Contexts,
    pub class: u8,
    pub answer: bool,
}

/// The tables of a class: how many bits of its context each one uses, and a step for each value of these bits.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Tables {
    pub widths: [u8; MOST_TABLES],
    pub steps: [Vec<i8>; MOST_TABLES],
}

impl Tables {
    /// The sum for a decision, as the player computes it.
    pub fn sum(&self, contexts: &Contexts) -> i8 {
        let step = |table: usize| {
            let entry = usize::from(contexts[table]) & ((1 << self.widths[table]) - 1);
            self.steps[table].get(entry).copied().unwrap_or(0)
        };
        (0..MOST_TABLES).map(step).fold(0, i8::wrapping_add)
    }

    /// The bits of an answer, in parts of `BIT`.
    pub fn bits(&self, sample: &TableDecision) -> i64 {
        bits_at(self.sum(&sample.contexts).into())[usize::from(sample.answer)]
    }
}

/// The probability of a yes for each part of a step, from the lowest sum on.
static LIKELY: LazyLock<Vec<i64>> = LazyLock::new(|| {
    let parts_a_nat = f64::from(PARTS) * STEPS_A_NAT as f64;
    let likely = |at: i32| rounded::<i64>(WHOLE as f64 / (1.0 + libm::exp(-f64::from(at) / parts_a_nat)));
    (-MOST_STEPS * PARTS..=MOST_STEPS * PARTS).map(|at| likely(at).clamp(WHOLE / 512, WHOLE - WHOLE / 512)).collect()
});

/// The bits of a no and of a yes for each sum of steps, from −128 on.
static BITS: LazyLock<Vec<[i64; 2]>> = LazyLock::new(|| {
    let bits = |share: i32| rounded((8.0 - libm::log2(f64::from(share))) * BIT as f64);
    let yes = |sum: i32| i32::from(SQUASH[(sum & 0xFF).cast_unsigned() as usize]);
    (-128..128).map(|sum| [bits(256 - yes(sum)), bits(yes(sum))]).collect()
});

fn bits_at(sum: i32) -> [i64; 2] {
    BITS[(sum.clamp(-128, 127) + 128).cast_unsigned() as usize]
}

/// The steps that are nearest to a weight.
fn in_steps(weight: i32) -> i32 {
    (weight + FINE / 2).div_euclid(FINE)
}

/// Tables while they are fitted.
#[derive(Clone)]
struct Fit<'a> {
    samples: &'a [TableDecision],
    widths: Vec<u8>,
    weights: Vec<[i32; 256]>,
    /// For each sample, the sum of its weights.
    sums: Vec<i32>,
    farthest: i32,
}

impl<'a> Fit<'a> {
    fn new(samples: &'a [TableDecision], widths: Vec<u8>) -> Self {
        let weights = vec![[0; 256]; widths.len()];
        Self { samples, weights, widths, sums: vec![0; samples.len()], farthest: FARTHEST }
    }

    /// Adds the changes of a table's weights to the sums.
    fn change(&mut self, table: usize, changes: &[i32; 256]) {
        let mask = (1 << self.widths[table]) - 1;
        for (sample, sum) in self.samples.iter().zip(&mut self.sums) {
            *sum += changes[usize::from(sample.contexts[table]) & mask];
        }
    }

    /// One step of Newton's method for all weights of a table.
    fn improve(&mut self, table: usize, whole_steps: bool) {
        let mask = (1 << self.widths[table]) - 1;
        let (mut slope, mut bend) = ([0i64; 256], [PULL; 256]);
        for (sample, sum) in self.samples.iter().zip(&self.sums) {
            let part = (sum * PARTS / FINE).clamp(-MOST_STEPS * PARTS, MOST_STEPS * PARTS);
            let likely = LIKELY[(part + MOST_STEPS * PARTS).cast_unsigned() as usize];
            let entry = usize::from(sample.contexts[table]) & mask;
            slope[entry] += i64::from(sample.answer) * WHOLE - likely;
            bend[entry] += likely * (WHOLE - likely) / WHOLE;
        }
        let (mut changes, most) = ([0; 256], self.farthest * FINE);
        for entry in 0..=mask {
            let weight = self.weights[table][entry];
            let towards = slope[entry] - PULL * i64::from(weight) / A_NAT;
            let change: i32 = limited((towards * A_NAT / bend[entry]).clamp(-2 * A_NAT, 2 * A_NAT));
            let better = (weight + change).clamp(-most, most);
            let better = if whole_steps { in_steps(better) * FINE } else { better };
            changes[entry] = better - weight;
            self.weights[table][entry] = better;
        }
        self.change(table, &changes);
    }

    fn improve_all(&mut self, rounds: usize, whole_rounds: usize) {
        for round in 0..rounds {
            for table in (0..self.widths.len()).filter(|table| self.widths[*table] > 0).collect::<Vec<_>>() {
                self.improve(table, round + whole_rounds >= rounds);
            }
        }
    }

    /// The bits of all answers, each counted `each` times, and of the tables, in parts of `BIT`.
    fn price(&self, each: i64) -> i64 {
        let answers = self.samples.iter().zip(&self.sums);
        let bits: i64 = answers.map(|(sample, sum)| bits_at(in_steps(*sum))[usize::from(sample.answer)]).sum();
        let entries: i64 = self.widths.iter().filter(|width| **width > 0).map(|width| 1 << width).sum();
        bits * each + entries * BYTE
    }

    /// The same with one table narrower: entries that are merged get their mean.
    fn narrowed(&self, table: usize, width: u8) -> Self {
        let mut other = self.clone();
        let (entries, weights) = (1 << width, &self.weights[table]);
        let before = 1usize << self.widths[table];
        let mean = |entry: usize| {
            let joined = weights[entry..before].iter().step_by(entries);
            joined.clone().sum::<i32>() / limited::<i32, _>(joined.count())
        };
        let fresh: Vec<i32> = (0..entries).map(|entry| if width > 0 { mean(entry) } else { 0 }).collect();
        let changes =
            std::array::from_fn(|entry| if entry < before { fresh[entry & (entries - 1)] - weights[entry] } else { 0 });
        other.change(table, &changes);
        other.weights[table][..entries].copy_from_slice(&fresh);
        other.widths[table] = width;
        other
    }

    /// Narrows tables as long as answers and tables together take fewer bits.
    fn narrow(self, each: i64) -> Vec<u8> {
        let (mut fit, mut least) = (self, i64::MAX);
        fit.improve_all(FIRST_ROUNDS, 0);
        let mut price = fit.price(each);
        while price < least {
            least = price;
            for table in 0..fit.widths.len() {
                while let Some((other, cheaper)) = fit.narrower(table, each, price) {
                    (fit, price) = (other, cheaper);
                }
            }
        }
        fit.widths
    }

    fn narrower(&self, table: usize, each: i64, price: i64) -> Option<(Self, i64)> {
        let width = self.widths[table];
        (0..width).rev().take(3).chain((width > 3).then_some(0)).find_map(|width| {
            let mut other = self.narrowed(table, width);
            other.improve_all(TRIAL_ROUNDS, 0);
            let cheaper = other.price(each);
            (cheaper < price).then_some((other, cheaper))
        })
    }
}

/// Returns the number of bits of a table's context, up to the highest one that varies.
fn varying(samples: &[TableDecision], table: usize) -> u8 {
    let seen =
        |ones: (u8, u8), sample: &TableDecision| (ones.0 | sample.contexts[table], ones.1 | !sample.contexts[table]);
    let (ones, zeros) = samples.iter().fold((0, 0), seen);
    WIDEST - limited::<u8, _>((ones & zeros).leading_zeros())
}

/// Fits the tables of a class to its decisions.
pub fn fit(class: usize, samples: &[TableDecision]) -> Tables {
    let widths = (0..TABLES_OF[class]).map(|table| varying(samples, table)).collect();
    let each = samples.len().div_ceil(TRIED).max(1);
    let tried: Vec<TableDecision> = samples.iter().step_by(each).copied().collect();
    let widths = Fit::new(&tried, widths).narrow(limited(each));
    let mut fit = Fit::new(samples, widths);
    loop {
        fit.improve_all(LAST_ROUNDS, WHOLE_ROUNDS);
        let farthest = fit.sums.iter().map(|sum| in_steps(*sum).abs()).max().unwrap_or(0);
        if farthest <= MOST_STEPS {
            break;
        }
        fit.farthest -= LESS_FAR;
    }
    let mut tables = Tables::default();
    for (table, width) in fit.widths.iter().enumerate().filter(|(_, width)| **width > 0) {
        tables.widths[table] = *width;
        tables.steps[table] =
            fit.weights[table][..1 << width].iter().map(|weight| limited(in_steps(*weight))).collect();
    }
    tables
}
