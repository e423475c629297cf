//! Names that people try first for fields that have another name here, and the names that they may mean.

/// A name that is tried, and the fields that it can mean, the likeliest first. Our own choice: common names in graphics libraries.
const TRIED: &[(&str, &[&str])] = &[
    ("alignment", &["align"]),
    ("angle", &["start_degrees", "degrees"]),
    ("begin", &["from", "start"]),
    ("brightness", &["contrast", "level"]),
    ("center", &["at"]),
    ("centre", &["at"]),
    ("charset", &["characters"]),
    ("chip", &["microcontroller", "controller"]),
    ("cpu", &["microcontroller"]),
    ("delay", &["from", "start"]),
    ("dimensions", &["size"]),
    ("direction", &["towards", "turn"]),
    ("display", &["panel"]),
    ("duration", &["seconds"]),
    ("easing", &["ease"]),
    ("end", &["until", "to"]),
    ("finish", &["until", "to"]),
    ("first", &["start"]),
    ("flash", &["blink", "flash_left"]),
    ("fps", &["frame_rate"]),
    ("framerate", &["frame_rate"]),
    ("frequency", &["clock", "times_a_second"]),
    ("height", &["size"]),
    ("hidden", &["shown"]),
    ("image", &["picture"]),
    ("images", &["pictures"]),
    ("initial", &["start"]),
    ("interval", &["every"]),
    ("label", &["text"]),
    ("leds", &["lamps"]),
    ("length", &["seconds", "width", "size"]),
    ("lights", &["lamps"]),
    ("location", &["at"]),
    ("loop", &["repeat", "then"]),
    ("mcu", &["microcontroller"]),
    ("message", &["text"]),
    ("next", &["then"]),
    ("orientation", &["turn"]),
    ("percent", &["value", "share"]),
    ("period", &["seconds", "every"]),
    ("place", &["at"]),
    ("pos", &["at"]),
    ("position", &["at"]),
    ("progress", &["value", "share"]),
    ("rotate", &["turn"]),
    ("rotation", &["turn"]),
    ("screen", &["panel"]),
    ("sound", &["cues"]),
    ("sounds", &["cues"]),
    ("spacing", &["line_gap"]),
    ("start", &["from"]),
    ("stop", &["until", "to"]),
    ("string", &["text"]),
    ("time", &["seconds", "at"]),
    ("title", &["text", "name"]),
    ("visible", &["shown"]),
    ("width", &["size"]),
    ("x", &["at"]),
    ("xy", &["at"]),
    ("y", &["at"]),
];

/// Endings of the fields that set a speed.
const SPEEDS: &[&str] = &["_a_second", "_a_turn"];

/// The field among `known` that a tried name means, if there is one.
pub fn meant<'k>(tried: &str, known: &[&'k str]) -> Option<&'k str> {
    let tried = tried.to_lowercase();
    if tried == "speed" || tried == "velocity" {
        let sets_speed = |name: &&&str| SPEEDS.iter().any(|end| name.ends_with(end)) || **name == "clock";
        return known.iter().find(sets_speed).copied();
    }
    let fields = TRIED.iter().find(|(name, _)| *name == tried)?.1;
    fields.iter().find_map(|field| known.iter().find(|name| *name == field)).copied()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_name_means_the_likeliest_field_that_the_construct_has() {
        assert_eq!(meant("FPS", &["name", "frame_rate"]), Some("frame_rate"));
        assert_eq!(meant("length", &["width", "size"]), Some("width"));
        assert_eq!(meant("speed", &["at", "letters_a_second"]), Some("letters_a_second"));
        assert_eq!(meant("speed", &["at"]), None);
        assert_eq!(meant("position", &["name"]), None);
    }

    #[test]
    fn names_are_sorted_and_none_is_tried_twice() {
        assert!(TRIED.is_sorted_by(|one, next| one.0 < next.0));
    }
}
