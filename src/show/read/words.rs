//! Values that are one of a few words, and names of things that the show declares.

use super::{Context, Field, Slot};
use crate::diag::{Finding, Findings, nearest};
use crate::show::{Anchor, ChartStyle, ClockForm, Dither, Ease, FontId, Mode, PictureId, Side};
use crate::source::{FromNode, Node, Placed, Shape};

/// Finds a bare word in a table; an unknown one is reported with the nearest, under the name of the field.
pub fn word<T: Copy>(node: &Node, name: &str, table: &[(&'static str, T)], findings: &mut Findings) -> Option<T> {
    let words = || table.iter().map(|(word, _)| *word);
    let Shape::Word(given) = &node.shape else {
        let all: Vec<&str> = words().collect();
        let message = format!("`{name}` should be one of the words {}, not {}", all.join(", "), node.kind());
        findings.push(Finding::error(node.span, message));
        return None;
    };
    let found = table.iter().find(|(word, _)| word == given).map(|(_, value)| *value);
    if found.is_none() {
        let finding = Finding::error(node.span, format!("`{given}` is no word for `{name}`"));
        findings.push(match nearest(given, words()) {
            Some(near) => finding.hint(format!("did you mean `{near}`?")),
            None => finding.hint(format!("the words are: {}", words().collect::<Vec<_>>().join(", "))),
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
        impl Field for $type {
            const FORM: &'static str = $form;
            type Usual = Self;

            fn read(node: &Node, slot: &Slot, _: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
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
    Ease, "`Linear`, `In`, `Out`, `InOut` or `Step`": Linear In Out InOut Step;
}

/// A name of the show in quotes; it has no usual value.
macro_rules! named {
    ($($type:ident, $list:ident, $form:literal;)*) => {$(
        impl Field for $type {
            const FORM: &'static str = $form;
            type Usual = Self;

            fn read(node: &Node, _: &Slot, context: &mut Context<'_, '_>, findings: &mut Findings) -> Option<Self> {
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
