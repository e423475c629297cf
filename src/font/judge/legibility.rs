//! Size for the eye: the height of letters in millimetres and in minutes of arc at the viewing distance, against published
//! limits.

/// A limit of legibility in minutes of arc, and its source.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct EyeRule {
    /// Minutes of arc.
    pub arcminutes: f64,
    /// What the limit means, in words.
    pub says: &'static str,
    /// Where it comes from.
    pub source: &'static str,
}

/// The smallest letter that an eye of acuity 1.0 resolves.
pub const ACUITY: EyeRule = EyeRule {
    arcminutes: 5.0,
    says: "the 20/20 line: a letter of 5′ with strokes of 1′ is just resolved",
    source: "ISO 8596 (optotype of acuity 1.0)",
};
/// Usable for single characters with high contrast.
pub const USABLE: EyeRule = EyeRule {
    arcminutes: 10.0,
    says: "usable for single characters at high contrast",
    source: "IBM guidance on ISO 9241-3 (excerpt)",
};
/// The least height for reading.
pub const LEAST_READING: EyeRule =
    EyeRule { arcminutes: 16.0, says: "the minimum for reading", source: "ISO 9241-303 (same figure in ISO 9241-3)" };
/// The preferred height for reading.
pub const WELL_READ: EyeRule = EyeRule {
    arcminutes: 20.0,
    says: "preferred for reading: 20′ to 22′",
    source: "ISO 9241-303 (same figure in ISO 9241-3)",
};

/// How well a size is read.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum ReadingSize {
    /// Below the 20/20 line: normal vision cannot tell the letters apart.
    TooSmall,
    /// Resolved, but only a careful look reads it.
    Resolved,
    /// Usable for single characters.
    Usable,
    /// Enough for reading.
    Readable,
    /// The preferred size or more.
    Comfortable,
}

/// A height as the eye meets it.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Legibility {
    /// Height of a capital.
    pub millimetres: f64,
    /// The angle it subtends.
    pub arcminutes: f64,
    /// How it compares with the limits.
    pub size: ReadingSize,
}

/// The angle under which a height is seen: 2·atan(h / 2D), in minutes of arc.
pub fn arcminutes(height_millimetres: f64, distance_millimetres: f64) -> f64 {
    2.0 * (height_millimetres / (2.0 * distance_millimetres)).atan().to_degrees() * 60.0
}

/// The height that is seen under an angle: 2·D·tan(angle / 2).
pub fn height_millimetres(arcminutes: f64, distance_millimetres: f64) -> f64 {
    2.0 * distance_millimetres * (arcminutes / 60.0 / 2.0).to_radians().tan()
}

/// The furthest distance at which a height is seen under this angle or more.
pub fn furthest_millimetres(height_millimetres: f64, arcminutes: f64) -> f64 {
    height_millimetres / (2.0 * (arcminutes / 60.0 / 2.0).to_radians().tan())
}

/// Judges capitals of `rows` rows, which are `pitch_millimetres` apart, seen from a distance in millimetres.
pub fn legibility(rows: u32, pitch_millimetres: f64, distance_millimetres: f64) -> Legibility {
    let millimetres = f64::from(rows) * pitch_millimetres;
    let angle = arcminutes(millimetres, distance_millimetres);
    let size = [
        (WELL_READ, ReadingSize::Comfortable),
        (LEAST_READING, ReadingSize::Readable),
        (USABLE, ReadingSize::Usable),
        (ACUITY, ReadingSize::Resolved),
    ]
    .into_iter()
    .find(|(rule, _)| angle >= rule.arcminutes)
    .map_or(ReadingSize::TooSmall, |(_, size)| size);
    Legibility { millimetres, arcminutes: angle, size }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Heights in millimetres by the formula height = 2 D tan(angle / 2), worked by hand from the table of the fact sheet G1.
    #[test]
    fn heights_and_angles_match_the_worked_table() {
        let table = [
            (250.0, 5.0, 0.364),
            (250.0, 16.0, 1.164),
            (300.0, 20.0, 1.745),
            (400.0, 22.0, 2.560),
            (500.0, 1.0, 0.145),
        ];
        for (distance, angle, height) in table {
            assert!((height_millimetres(angle, distance) - height).abs() < 0.0006, "{distance} {angle}");
            assert!((arcminutes(height, distance) - angle).abs() < 0.02, "{distance} {angle}");
        }
    }

    /// Worked figures: 5 rows at 0.13 mm are 0.65 mm, 8.9′ at 250 mm; capitals of 0.91 mm fall below 16′ beyond about 195 mm.
    #[test]
    fn worked_figures_are_met() {
        let five_rows = legibility(5, 0.13, 250.0);
        assert!((five_rows.millimetres - 0.65).abs() < 1e-9 && (five_rows.arcminutes - 8.9).abs() < 0.05);
        assert_eq!(five_rows.size, ReadingSize::Resolved);
        assert!((furthest_millimetres(0.91, LEAST_READING.arcminutes) - 195.5).abs() < 0.5);
        assert_eq!(legibility(7, 0.13, 190.0).size, ReadingSize::Readable);
        assert_eq!(legibility(7, 0.13, 200.0).size, ReadingSize::Usable);
    }
}
