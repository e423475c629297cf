//! The drawing board of a served page: the markup of its view. What it does is in the scripts of the folder of the same name.

use maud::{Markup, html};

/// How the board looks.
pub const STYLE: &str = include_str!("board/board.css");
/// What it does, in the order in which the parts need each other.
pub const SCRIPTS: [&str; 10] = [
    include_str!("board/glyphs.js"),
    include_str!("board/edits.js"),
    include_str!("board/store.js"),
    include_str!("board/sight.js"),
    include_str!("board/part.js"),
    include_str!("board/easel.js"),
    include_str!("board/keys.js"),
    include_str!("board/cells.js"),
    include_str!("board/measures.js"),
    include_str!("board/frames.js"),
];
/// What puts them together.
pub const DESK: &str = include_str!("board/desk.js");

/// A tool: what the script calls it, and what its button says.
const TOOLS: [(&str, &str); 4] = [("mirror", "Mirror"), ("flip", "Flip"), ("invert", "Invert"), ("clear", "Clear")];
/// A way to shift: what the button says, its name, and the columns and rows.
const SHIFTS: [(&str, &str, &str); 4] =
    [("←", "left", "-1 0"), ("↑", "up", "0 -1"), ("↓", "down", "0 1"), ("→", "right", "1 0")];
const KEYS: [(&str, &str); 7] = [
    ("← ↑ ↓ →", "move"),
    ("Space", "set or clear"),
    ("Shift + arrow", "shift"),
    ("S", "select a part: arrows extend it, Shift + arrow moves it"),
    ("M F I", "mirror, flip, invert"),
    ("Ctrl + Z, Ctrl + Y", "undo, redo"),
    ("Page ↑ ↓", "other glyph"),
];

/// Links to the views of the page.
pub fn views(font_alone: bool) -> Markup {
    html! {
        nav #views aria-label="Views" {
            @if !font_alone { a href="#show" aria-current="page" { "Show" } }
            a href="#fonts" { "Fonts" }
            a href="#pictures" hidden[font_alone] { "Pictures" }
        }
    }
}

/// The view, which the script fills. Where it takes the place of the show, it is the page's main part.
pub fn board(font_alone: bool) -> Markup {
    html! {
        section #board .empty role=[(!font_alone).then_some("main")] aria-labelledby="board-title" {
            h2 #board-title .unseen { "Drawing board" }
            div .bar {
                label { "Sheet " select #sheet {} }
                span #coverage .of-font {}
                button #extend type="button" hidden { "Make cells" }
            }
            p #locked .fault hidden {}
            p #as-strip hidden { a href="#pictures" { "Save as a PNG strip" } ", which you can draw on: name it in " code { "pictures" } ", and give the layer " code {} "." }
            p #board-said role="status" {}
            p #no-sheet hidden {}
            div .board {
                div .list { ul #cells role="listbox" aria-label="Cells of the sheet" {} }
                (easel())
                (sight())
            }
        }
    }
}

fn easel() -> Markup {
    html! {
        div .easel {
            p .head { strong #cell-name {} " " span .of-font { span #word {} " " button #next-word type="button" { "Next word" } } }
            div .cloth {
                canvas #pixels tabindex="0" role="application" aria-roledescription="pixel grid" aria-label="Glyph" aria-describedby="pixels-read pixel-keys" {}
            }
            p #pixels-read .unseen {}
            p #pixel-said .unseen role="status" {}
            div #tools .controls role="group" aria-label="Tools" {
                button #undo type="button" { "Undo" }
                button #redo type="button" { "Redo" }
                @for (tool, words) in TOOLS { button type="button" data-tool=(tool) { (words) } }
                span .together {
                    @for (arrow, way, step) in SHIFTS { button type="button" data-tool="shift" data-way=(step) aria-label={"Shift " (way)} { (arrow) } }
                }
                button #part type="button" aria-pressed="false" { "Part" }
                span .copy .together { label { "Copy from " select #from-sheet {} } " " select #from-cell aria-label="Cell to copy from" {} " " button #copy type="button" { "Copy" } }
            }
            (measures())
            p #pixel-keys .keys { @for (number, (key, does)) in KEYS.iter().enumerate() { @if number > 0 { ", " } span .key { kbd { (key) } " " (does) } } "." }
        }
    }
}

fn measures() -> Markup {
    let field = |id: &str, words: &str| {
        html! { label { span { (words) } input id={"m-" (id)} type="number" step="1" min="-128" max="128"; } }
    };
    html! {
        div #measures .controls .of-font role="group" aria-label="Measures in pixels" {
            (field("advance", "Advance"))
            button #own-advance type="button" hidden { "As the font" }
            label { span #kerning-with { "Kerning" } input #m-kerning type="number" step="1" min="-128" max="128"; }
            (field("shared", "Advance of all"))
            (field("tracking", "Tracking"))
            (field("space", "Space"))
            (field("baseline", "Baseline"))
            (field("capHeight", "Capitals"))
        }
    }
}

fn sight() -> Markup {
    html! {
        div .sight {
            div #built .of-show hidden {
                div .mirror { canvas #mirror role="img" aria-label="The display, as the controller shows it" {} }
                div .controls role="group" aria-label="Scenes" {
                    button #board-play type="button" { "Play" }
                    span #board-scenes {}
                }
            }
            div .of-picture {
                canvas #strip role="img" aria-label="Picture" {}
                div .controls role="group" aria-label="Strip" {
                    button #play-strip type="button" { "Play strip" }
                    label { input #onion type="checkbox" checked; " Onion skin" }
                    span #strip-rate .what {}
                }
            }
            div .of-font {
                label .trying { "Try a text " input #try type="text" autocomplete="off" spellcheck="false"; }
                ul #lines aria-label="Lines in this font" {}
                div { h3 { "Similar glyphs" } ul #look-alikes {} }
                ul #font-faults aria-label="Faults of this font" {}
            }
        }
    }
}
