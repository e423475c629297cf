//! Checked conversions to whole numbers: a number that a type cannot hold becomes the nearest one that it can.

/// A type of whole numbers.
pub(crate) trait WholeNumber: Copy {
    /// The lowest number of the type.
    const LOWEST: Self;
    /// The highest number of the type.
    const HIGHEST: Self;
    /// `value` without its fraction, or the end of the type's range that is nearest to it; 0 for what is not a number.
    fn truncated(value: f64) -> Self;
}

macro_rules! whole {
    ($($type:ty),*) => {$(
        impl WholeNumber for $type {
            const LOWEST: Self = Self::MIN;
            const HIGHEST: Self = Self::MAX;

            #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a cast of a float keeps to the range")]
            fn truncated(value: f64) -> Self {
                value as Self
            }
        }
    )*};
}
whole!(u8, u16, u32, u64, usize, i8, i16, i32, i64);

/// The whole number that is nearest to `value`, halves away from zero; 0 for what is not a number.
pub(crate) fn rounded<W: WholeNumber>(value: f64) -> W {
    W::truncated(value.round())
}

/// The highest whole number that is not above `value`; 0 for what is not a number.
pub(crate) fn floored<W: WholeNumber>(value: f64) -> W {
    W::truncated(value.floor())
}

/// A whole number in another type: the same number, or the end of the type's range that is nearest to it.
pub(crate) fn limited<W: WholeNumber + TryFrom<N>, N: Copy + PartialOrd + Default>(number: N) -> W {
    W::try_from(number).unwrap_or(if number < N::default() { W::LOWEST } else { W::HIGHEST })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Rust reference, "Type cast expressions": casts of floats saturate, and NaN becomes 0.
    #[test]
    fn numbers_beyond_a_type_become_its_ends() {
        assert_eq!([rounded::<u8>(-0.6), rounded(254.5), rounded(1e9), rounded(f64::NAN)], [0, 255, 255, 0]);
        assert_eq!([rounded::<i16>(-2.5), rounded(2.4), rounded(-1e9)], [-3, 2, i16::MIN]);
        assert_eq!([floored::<i8>(-0.1), floored(2.9), floored(1e9), floored(f64::NAN)], [-1, 2, i8::MAX, 0]);
        assert_eq!([limited::<u8, i32>(-1), limited(255), limited(256)], [0, 255, 255]);
        assert_eq!([limited::<i16, i64>(-40_000), limited(40_000)], [i16::MIN, i16::MAX]);
        assert_eq!(limited::<u32, usize>(usize::MAX), u32::MAX);
    }
}
