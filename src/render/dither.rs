//! Ordered dithering: a shade between dark and lit as a fixed pattern of pixels.

/// The order in which the pixels of a 4×4 tile light up (B. E. Bayer, "An optimum method for two-level rendition of
/// continuous-tone pictures", 1973; the matrix is the published one, from memory).
const ORDER: [[u8; 4]; 4] = [[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]];
const STEPS: f64 = 16.0;

/// Whether the pixel (x, y) is lit at a coverage of 0 (none) to 1 (all).
pub fn dithered(coverage: f64, x: i32, y: i32) -> bool {
    let order = ORDER[y.rem_euclid(4) as usize][x.rem_euclid(4) as usize];
    coverage * STEPS > f64::from(order)
}

#[cfg(test)]
mod tests {
    use super::dithered;

    #[test]
    fn sixteen_shades_light_that_many_pixels_of_a_tile() {
        for shade in 0..=16 {
            let lit = (0..16).filter(|at| dithered(f64::from(shade) / 16.0, at % 4, at / 4)).count();
            assert_eq!(lit, shade as usize);
        }
    }

    #[test]
    fn half_coverage_is_a_chequered_pattern() {
        assert!((0..16).all(|at| dithered(0.5, at % 4, at / 4) == ((at % 4 + at / 4) % 2 == 0)));
    }
}
