//! What the best reel of each profile takes, side by side.

use crate::budget::Fit;
use maud::{Markup, html};

/// A table with a row a profile; nothing where only one was made.
pub fn profiles(profiles: &[Fit]) -> Markup {
    let percent = |share: f64| format!("{:.0} %", share * 100.0);
    html! {
        @if profiles.len() > 1 {
            section #profiles aria-labelledby="profiles-title" {
                h2 #profiles-title { "Profiles" }
                div .scroll tabindex="0" role="region" aria-labelledby="profiles-title" {
                    table {
                        thead { tr { @for head in ["profile", "reel", "player", "flash in all", "RAM", "mean time", "worst time", "verdict"] { th scope="col" { (head) } } } }
                        tbody {
                            @for fit in profiles {
                                tr {
                                    th scope="row" { (fit.profile) @if fit.taken { " (taken)" } }
                                    @for bytes in [fit.reel_bytes, fit.player_bytes, fit.flash_bytes, fit.ram_bytes] { td { (bytes) " B" } }
                                    td { (percent(fit.mean_time_share)) }
                                    td { (percent(fit.worst_time_share)) }
                                    td { (fit.verdict()) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
