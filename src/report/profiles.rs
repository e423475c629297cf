//! What the best reel of each profile takes, side by side.

use crate::budget::ProfileFit;
use crate::diag::{percent, with_unit};
use maud::{Markup, html};

/// A table with a row a profile; nothing where only one was made.
pub fn profiles(profiles: &[ProfileFit]) -> Markup {
    html! {
        @if profiles.len() > 1 {
            section #profiles aria-labelledby="profiles-title" {
                h2 #profiles-title { "Profiles" }
                div .scroll tabindex="0" role="region" aria-label="Table of profiles" {
                    table {
                        thead { tr { @for head in ["profile", "reel", "player", "flash in total", "RAM", "mean time", "worst time", "verdict"] { th scope="col" .number[!["profile", "verdict"].contains(&head)] .verdict[head == "verdict"] { (head) } } } }
                        tbody {
                            @for fit in profiles {
                                tr {
                                    th scope="row" { (fit.profile) @if fit.taken { " (taken)" } }
                                    @for bytes in [fit.reel_bytes, fit.player_bytes, fit.flash_bytes, fit.ram_bytes] { td .number { (with_unit(f64::from(bytes), "B")) } }
                                    td .number { (percent(fit.mean_time_share)) }
                                    td .number { (percent(fit.worst_time_share)) }
                                    td .verdict { (fit.verdict()) }
                                }
                            }
                        }
                    }
                }
            }
        }
    }
}
