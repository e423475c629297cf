//! Values that are one of a few words, and names of things that the show declares.

use super::{Context, FieldSlot, ReadField};
use crate::diag::{Finding, Findings, nearest};
use crate::show::{Anchor, ChartStyle, ClockForm, Curve, Dither, Ease, FontId, Mode, PictureId, Profile, Side, Slow};
use crate::source::{FromNode, Node, Placed, Shape};

/// Finds a bare word in a table; an unknown one is reported with the nearest, under the name of the field.
pub fn word<T: Copy>(node: &Node, name: &str, table: &[(&'static str, T)], findings: &mut Findings) -> Option<T> {
    let words = || table.iter().map(|(word, _)| *word);
    let Shape::Word(given) = &node.shape else {
        let all: Vec<&str> = words().collect();
        let message = format!("`{name}` should be one of {}, not {}", all.join(", "), node.kind());
        let bare = if let Shape::Text(text) = &node.shape { nearest(text, words()) } else { None };
        let hint = bare.map_or("write one of these words, without quotes".into(), |word| {
            format!("write `{word}`, without quotes")
        });
        findings.push(Finding::error(node.span, message).hint(hint));
        return None;
    };
    let found = table.iter().find(|(word, _)| word == given).map(|(_, value)| *value);
    if found.is_none() {
        let finding = Finding::error(node.span, format!("unknown value `{given}` for `{name}`"));
        findings.push(match nearest(given, words()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint(format!("use one of {}", words().collect::<Vec<_>>().join(", "))),
        });
    }
    found
}

/// Declares the words of a type: their table, their form in the manual, and their reading.
macro_rules! words {
    ($($type:ident, $form:literal: $($word:ident)+;)*) => {$(
        impl $type {
            /// Every word of a script for it.
            pub const WORDS: &[(&'static str, Self)] = &[$((stringify!($word), Self::$word)),+];
        }
        impl ReadField for $type {
            const FORM: &'static str = $form;
            type Usual = Self;

            fn read(node: &Node, slot: &FieldSlot, _: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
                word(node, slot.name, Self::WORDS, findings)
            }
            fn usual(value: Self) -> Self {
                value
            }
        }
    )*};
}
words! {
    Anchor, "an anchor such as `Centre`": TopLeft Top TopRight Left Centre Right BottomLeft Bottom BottomRight;
    Side, "`Left`, `Right`, `Top` or `Bottom`": Left Right Top Bottom;
    ChartStyle, "`Line`, `Dots` or `Columns`": Line Dots Columns;
    ClockForm, "`Seconds`, `Tenths`, `MinutesSeconds` or `HoursMinutesSeconds`": Seconds Tenths MinutesSeconds HoursMinutesSeconds;
    Dither, "`Threshold`, `Ordered` or `Diffusion`": Threshold Ordered Diffusion;
    Mode, "`Paint`, `Erase` or `Invert`": Paint Erase Invert;
}

impl Profile {
    /// Every word of a script for it.
    pub const WORDS: &[(&'static str, Self)] = &[("Lean", Self::Lean), ("Dense", Self::Dense)];
}

impl Ease {
    /// Every word of a script for it: `In`, `Out` and `InOut` alone are quadratic.
    pub const WORDS: &[(&'static str, Self)] = &[
        ("Linear", Self::Linear),
        ("Step", Self::Step),
        ("In", Self::IN),
        ("Out", Self::OUT),
        ("InOut", Self::IN_OUT),
        ("SineIn", Self::Along(Curve::Sine, Slow::Start)),
        ("SineOut", Self::Along(Curve::Sine, Slow::End)),
        ("SineInOut", Self::Along(Curve::Sine, Slow::Both)),
        ("CubicIn", Self::Along(Curve::Cubic, Slow::Start)),
        ("CubicOut", Self::Along(Curve::Cubic, Slow::End)),
        ("CubicInOut", Self::Along(Curve::Cubic, Slow::Both)),
        ("FourthIn", Self::Along(Curve::Fourth, Slow::Start)),
        ("FourthOut", Self::Along(Curve::Fourth, Slow::End)),
        ("FourthInOut", Self::Along(Curve::Fourth, Slow::Both)),
        ("FifthIn", Self::Along(Curve::Fifth, Slow::Start)),
        ("FifthOut", Self::Along(Curve::Fifth, Slow::End)),
        ("FifthInOut", Self::Along(Curve::Fifth, Slow::Both)),
        ("ExponentialIn", Self::Along(Curve::Exponential, Slow::Start)),
        ("ExponentialOut", Self::Along(Curve::Exponential, Slow::End)),
        ("ExponentialInOut", Self::Along(Curve::Exponential, Slow::Both)),
        ("CircularIn", Self::Along(Curve::Circular, Slow::Start)),
        ("CircularOut", Self::Along(Curve::Circular, Slow::End)),
        ("CircularInOut", Self::Along(Curve::Circular, Slow::Both)),
        ("BackIn", Self::Along(Curve::Back, Slow::Start)),
        ("BackOut", Self::Along(Curve::Back, Slow::End)),
        ("BackInOut", Self::Along(Curve::Back, Slow::Both)),
        ("ElasticIn", Self::Along(Curve::Elastic, Slow::Start)),
        ("ElasticOut", Self::Along(Curve::Elastic, Slow::End)),
        ("ElasticInOut", Self::Along(Curve::Elastic, Slow::Both)),
        ("BounceIn", Self::Along(Curve::Bounce, Slow::Start)),
        ("BounceOut", Self::Along(Curve::Bounce, Slow::End)),
        ("BounceInOut", Self::Along(Curve::Bounce, Slow::Both)),
    ];
}

/// A name of the show in quotes; it has no usual value.
macro_rules! named {
    ($($type:ident, $list:ident, $form:literal;)*) => {$(
        impl ReadField for $type {
            const FORM: &'static str = $form;
            type Usual = Self;

            fn read(node: &Node, _: &FieldSlot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
                let name = Placed::<String>::from_node(node, findings)?;
                context.$list.find(&name, findings).map($type)
            }
            fn usual(value: Self) -> Self {
                value
            }
        }
    )*};
}
named! {
    FontId, fonts, "the name of a font of the show, in quotes";
    PictureId, pictures, "the name of a picture of the show, in quotes";
}
