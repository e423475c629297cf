//! A kind of layer: its name, its table of fields, and the macro that makes both and the type from one declaration.

use super::{Context, FieldRow};
use crate::diag::Findings;
use crate::show::{Drawing, Mode};
use crate::source::Fields;

/// A kind of layer as scripts name it.
pub struct Kind {
    /// Its name in a script.
    pub name: &'static str,
    /// What it draws, in one sentence.
    pub about: &'static str,
    /// A line of a script that uses it.
    pub example: &'static str,
    /// How its ink usually meets what lies below it.
    pub mode: Mode,
    /// Its fields, without those that every layer has.
    pub rows: fn() -> Vec<FieldRow>,
    pub(in crate::show) read: fn(&mut Fields<'_>, &mut Context<'_, '_>, &mut Findings) -> Option<Drawing>,
}

/// Declares a kind of layer: one table makes the type, its reading and its page of the manual.
///
/// Each row is `/// meaning`, `name: Type`, a range in `[ ]` where it is a number, `= usual` where it may be left out. `finish`
/// names a function that completes and checks the whole; `mode` says how its ink meets what lies below when the script does not.
macro_rules! layer {
    (
        $(#[doc = $about:literal])+
        $name:ident, $example:literal $(, mode $mode:ident)? $(, finish $finish:path)? {
            $($(#[doc = $meaning:literal])+ $field:ident: $type:ty $([$low:expr, $high:expr])? $(= $usual:expr)?;)+
        }
    ) => {
        $(#[doc = $about])+
        #[derive(Clone, Debug, PartialEq)]
        pub struct $name {
            $($(#[doc = $meaning])+ pub $field: $type,)+
        }

        impl $name {
            pub(in crate::show) const KIND: crate::show::read::Kind = crate::show::read::Kind {
                name: stringify!($name),
                about: concat!($($about),+),
                example: $example,
                mode: {
                    let usual = crate::show::Mode::Paint;
                    $(let usual = { let _ = usual; crate::show::Mode::$mode };)?
                    usual
                },
                rows: Self::rows,
                read: Self::read,
            };

            pub(in crate::show) fn numbers_end(&self) -> crate::show::natural::LayerEnd {
                crate::show::natural::LayerEnd::latest([$(crate::show::read::ReadField::end(&self.$field)),+])
            }

            pub(in crate::show) fn tracks(&mut self, visit: &mut dyn FnMut(&mut crate::show::Track)) {
                $(crate::show::read::ReadField::tracks(&mut self.$field, visit);)+
            }

            fn rows() -> Vec<crate::show::read::FieldRow> {
                let mut rows = Vec::new();
                $({
                    let slot = crate::show::read::FieldSlot::new(stringify!($field), concat!($($meaning),+))
                        $(.range($low, $high))? $(.usual(stringify!($usual)))?;
                    <$type as crate::show::read::ReadField>::describe(&slot, &mut rows);
                })+
                rows
            }

            fn read(
                fields: &mut crate::source::Fields<'_>,
                context: &mut crate::show::read::Context<'_, '_>,
                findings: &mut crate::diag::Findings,
            ) -> Option<crate::show::Drawing> {
                $(
                    let slot = crate::show::read::FieldSlot::new(stringify!($field), concat!($($meaning),+))
                        $(.range($low, $high))?;
                    let usual = None::<<$type as crate::show::read::ReadField>::Usual>$(.or(Some($usual)))?;
                    let $field = <$type as crate::show::read::ReadField>::take(fields, &slot, usual, context, findings);
                )+
                let layer = Self { $($field: $field?),+ };
                $(let layer = $finish(layer, fields.span(), context, findings)?;)?
                Some(crate::show::Drawing::$name(layer))
            }
        }
    };
}
pub(in crate::show) use layer;
