//! Divides a whole number of bytes by weight. The parts are whole numbers too, and their sum is the total.

use crate::whole::rounded;

/// Returns parts of `total` in the ratio of the weights, which are 0 or more. All parts are 0 if all weights are 0.
pub fn shared_out(total: usize, weights: &[f64]) -> Vec<usize> {
    let all: f64 = weights.iter().sum();
    if all <= 0.0 {
        return vec![0; weights.len()];
    }
    let (mut sum, mut given) = (0.0, 0);
    let part = |weight: &f64| {
        sum += weight;
        let up_to_here = rounded::<usize>(total as f64 * sum / all).min(total);
        let part = up_to_here - given;
        given = up_to_here;
        part
    };
    weights.iter().map(part).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn parts_are_as_their_weights_and_add_up(total in 0usize..70_000, weights in prop::collection::vec(0u16.., 1..20)) {
            let weights: Vec<f64> = weights.into_iter().map(f64::from).collect();
            let (parts, all) = (shared_out(total, &weights), weights.iter().sum::<f64>());
            if all > 0.0 {
                prop_assert_eq!(parts.iter().sum::<usize>(), total);
                for (part, weight) in parts.iter().zip(&weights) {
                    prop_assert!((*part as f64 - total as f64 * weight / all).abs() <= 1.0 + 1e-6);
                }
            } else {
                prop_assert_eq!(parts, vec![0; weights.len()]);
            }
        }
    }
}
