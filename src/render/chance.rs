//! Chance from a seed: the same numbers on every machine.

use crate::whole::rounded;

/// A number from 0 up to 1 that belongs to a seed and two counters (the finaliser of MurmurHash3, public domain, over their mix).
pub fn chance(seed: u32, first: i64, second: i64) -> f64 {
    f64::from(mixed(seed, first, second)) / (f64::from(u32::MAX) + 1.0)
}

/// A number of 16 bits that belongs to a seed and a counter, from which noise starts.
pub fn start(seed: u32, counter: i64) -> u16 {
    (mixed(seed, counter, 0) >> 16) as u16
}

fn mixed(seed: u32, first: i64, second: i64) -> u32 {
    let mut hash = finished(seed ^ 0x9E37_79B9);
    for counter in [first, second] {
        let counter = counter.cast_unsigned();
        let (upper, lower) = ((counter >> 32) as u32, (counter & 0xFFFF_FFFF) as u32);
        hash = finished(hash.wrapping_mul(5).wrapping_add(lower) ^ upper.rotate_left(16));
    }
    hash
}

fn finished(mut hash: u32) -> u32 {
    hash = (hash ^ hash >> 16).wrapping_mul(0x85EB_CA6B);
    hash = (hash ^ hash >> 13).wrapping_mul(0xC2B2_AE35);
    hash ^ hash >> 16
}

/// A smooth course from 0 to 1: a number by chance at each whole place, and a smooth step (3t² − 2t³) between them.
pub fn wander(seed: u32, place: f64) -> f64 {
    let cell = place.floor();
    let number: i64 = rounded(cell);
    let (here, next) = (chance(seed, number, 0), chance(seed, number + 1, 0));
    let share = place - cell;
    here + (next - here) * share * share * (3.0 - 2.0 * share)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::whole::floored;

    #[test]
    fn chance_is_even_and_differs_by_each_of_its_numbers() {
        let numbers: Vec<f64> = (0..4000).map(|count| chance(7, count, -3)).collect();
        let mean = numbers.iter().sum::<f64>() / 4000.0;
        assert!((mean - 0.5).abs() < 0.02, "{mean}");
        for tenth in 0..10 {
            let within = numbers.iter().filter(|number| floored::<i32>(*number * 10.0) == tenth).count();
            assert!((320..480).contains(&within), "{within} in tenth {tenth}");
        }
        assert!(chance(1, 2, 3) != chance(2, 2, 3) && chance(1, 2, 3) != chance(1, 3, 2));
        assert_eq!(wander(5, 4.0), chance(5, 4, 0));
    }
}
