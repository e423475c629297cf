//! The cautions in every report, and the one before a preview that flashes too much.

use maud::{Markup, html};

/// Headline and text of each caution.
const CAUTIONS: [(&str, &str); 4] = [
    (
        "Lithium cells",
        "Use a protected cell and a charger made for it. Never crush, pierce, solder to or heat it, never leave it alone while \
         it charges, and follow its maker's sheet and your local rules before you seal it in.",
    ),
    (
        "Currents",
        "Stay within the limits of the regulator, of the microcontroller's pins and of the display's own sheet. Currents here are estimates: measure them before you close the hull.",
    ),
    (
        "Flashing light",
        "It can harm photosensitive people. Keep to three flashes a second at most (WCAG 2.3.1). A preview on a large screen can be more harmful than the display itself, even more so if it is enlarged.",
    ),
    ("Small parts", "Keep button cells and small pieces away from children. A swallowed cell needs a doctor at once."),
];

/// All cautions.
pub fn cautions() -> Markup {
    html! {
        section #cautions aria-labelledby="cautions-title" {
            h2 #cautions-title { "Cautions" }
            dl .cautions {
                @for (head, text) in CAUTIONS { div { dt { (head) } dd { (text) } } }
            }
            p { "Data sheets, local codes and qualified people come before anything said here." }
        }
    }
}

/// Stands above a preview that flashes more than is safe.
pub fn flashing() -> Markup {
    html! {
        p .warning role="alert" {
            strong { "Caution: this preview flashes more than three times a second. " }
            "It can harm photosensitive people, and so it starts paused. Step through it, or set a lower speed before you play it."
        }
    }
}
