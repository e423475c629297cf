//! Ordered dithering: a shade between dark and lit as a fixed pattern of pixels.

/// The order in which the pixels of a 4×4 tile light up (B. E. Bayer, "An optimum method for two-level rendition of
/// continuous-tone pictures", 1973; the matrix is the published one, from memory).
const ORDER: [[u8; 4]; 4] = [[0, 8, 2, 10], [12, 4, 14, 6], [3, 11, 1, 9], [15, 7, 13, 5]];
const STEPS: f64 = 16.0;

/// Whether the pixel (x, y) is lit at a coverage of 0 (none) to 1 (all).
pub fn dithered(coverage: f64, x: i32, y: i32) -> bool {
    let at = |place: i32| place.rem_euclid(4).cast_unsigned() as usize;
    let order = ORDER[at(y)][at(x)];
    coverage * STEPS > f64::from(order)
}

/// Whether a grey becomes ink in an even pattern; `threshold` is the grey at which half of the pixels are ink.
pub fn ordered(shade: u8, threshold: u8, x: u32, y: u32) -> bool {
    const HALF: f64 = 127.5;
    const WHITE: f64 = 255.0;
    let lightness = (f64::from(shade) + HALF - f64::from(threshold)) / WHITE;
    dithered(if shade == 0 { 0.0 } else { lightness }, x.cast_signed(), y.cast_signed())
}

/// Which pixels of a picture become ink when each one's error is spread over its neighbours: 7/16 to the right, 3/16, 5/16
/// and 1/16 below (R. W. Floyd, L. Steinberg, "An adaptive algorithm for spatial grey scale", Proc. SID 17-2, 1976), rows
/// from the top, in whole numbers as Pillow has it.
pub fn diffused(width: u32, height: u32, threshold: u8, shade: impl Fn(u32, u32) -> u8) -> Vec<bool> {
    const WHITE: i32 = 255;
    const PARTS: i32 = 16;
    let mut lit = Vec::with_capacity(width as usize * height as usize);
    let mut below = vec![0i32; width as usize + 1];
    for y in 0..height {
        let (mut carried, mut under, mut under_next) = (0i32, 0i32, 0i32);
        for x in 0..width {
            let at = x as usize;
            let value = (i32::from(shade(x, y)) + (carried + below[at + 1]) / PARTS).clamp(0, WHITE);
            let ink = value >= i32::from(threshold);
            lit.push(ink);
            let error = value - if ink { WHITE } else { 0 };
            below[at] = 3 * error + under;
            under = 5 * error + under_next;
            under_next = error;
            carried = 7 * error;
        }
        below[width as usize] = under;
    }
    lit
}

#[cfg(test)]
mod tests {
    use super::dithered;

    #[test]
    fn sixteen_shades_light_that_many_pixels_of_a_tile() {
        for shade in 0..=16u8 {
            let lit = (0..16).filter(|at| dithered(f64::from(shade) / 16.0, at % 4, at / 4)).count();
            assert_eq!(lit, usize::from(shade));
        }
    }

    #[test]
    fn half_coverage_is_a_chequered_pattern() {
        assert!((0..16).all(|at| dithered(0.5, at % 4, at / 4) == ((at % 4 + at / 4) % 2 == 0)));
    }
}
