//! What the securing discipline computes, row by row.

use super::super::{Card, Gives};
use crate::measure::Measure;

const STATICS: &str = "statics of a rigid body on level ground";
const WORKING: &str = "49 CFR 393.106(d), 393.108(a)";

const fn figure(
    name: &'static str,
    measure: Measure,
    help: &'static str,
    method: &'static str,
    source: &'static str,
) -> Card {
    Card { of: "part", name, gives: Gives::Figure(measure), help, method, source }
}

/// What this discipline computes.
pub const CARDS: &[Card] = &[
    figure(
        "article-weight",
        Measure::Mass,
        "Weight to hold down: the part full, a rack with all that stands on it",
        "weight + contents + what stands on it",
        STATICS,
    ),
    figure(
        "loose-inside",
        Measure::Mass,
        "Weight that nothing holds, inside a closed box",
        "the whole weight without straps, bolts and blocking, else nought",
        "49 CFR 393.100",
    ),
    figure(
        "loose-in-the-open",
        Measure::Mass,
        "Weight that nothing holds, on an open deck, in a truck bed or outside the box",
        "the whole weight without straps, bolts and blocking, else nought",
        "49 CFR 393.100",
    ),
    figure(
        "strap-count",
        Measure::Count,
        "Straps that hold it",
        "as stated; none where only other ways are stated",
        "49 CFR 393.110",
    ),
    figure(
        "bolt-count",
        Measure::Count,
        "Bolts that hold it",
        "as stated; none where only other ways are stated",
        "49 CFR 393.110",
    ),
    figure("tie-downs", Measure::Count, "Straps and bolts that hold it", "straps + bolts", "49 CFR 393.110"),
    figure(
        "tie-downs-needed",
        Measure::Count,
        "Fewest tie-downs for its length and weight",
        "by length, weight and blocking",
        "49 CFR 393.110",
    ),
    figure(
        "tie-downs-wanted",
        Measure::Count,
        "Fewest tie-downs, where tie-downs hold it; nought where none do",
        "by length, weight and blocking",
        "49 CFR 393.110",
    ),
    figure("hold-needed", Measure::Mass, "Working load all its tie-downs need together", "half the weight", WORKING),
    figure(
        "strap-needed",
        Measure::Mass,
        "Working load its tie-downs need together, where it is strapped; nought where it is not",
        "half the weight",
        WORKING,
    ),
    figure("strap-holds", Measure::Mass, "What one strap is good for", "the lesser of strap and anchor", WORKING),
    figure(
        "strap-unmarked",
        Measure::Mass,
        "What webbing of its width counts for without a mark",
        "by width",
        "49 CFR 393.108, table",
    ),
    figure(
        "strap-load",
        Measure::Mass,
        "Working load of its straps that counts",
        "straps × the lesser of strap and anchor; half for a strap that does not cross over",
        WORKING,
    ),
    figure(
        "counted-load",
        Measure::Mass,
        "Working load of straps and bolts that counts",
        "straps as above + half of what each bolt may carry sideways",
        WORKING,
    ),
    figure(
        "load-short",
        Measure::Mass,
        "Working load missing; negative when there is more",
        "working load needed − counted",
        WORKING,
    ),
    figure(
        "each-strap-needs",
        Measure::Mass,
        "Working load each of its straps and anchors would need",
        "working load needed ÷ straps, twice that for straps that do not cross over",
        WORKING,
    ),
    figure(
        "bolt-shear",
        Measure::Force,
        "Sideways load on a bolt under 0.8 g forward",
        "0.8 × weight ÷ bolts",
        "49 CFR 393.102(a); statics",
    ),
    figure(
        "bolt-uplift",
        Measure::Force,
        "Pull on a bolt of the row that lifts, under 0.8 g forward or 0.5 g sideways",
        "weight × (g × balance height ÷ row spacing − 1/2) ÷ bolts in the row",
        "49 CFR 393.102(a); statics",
    ),
    figure(
        "bolt-shear-holds",
        Measure::Force,
        "Sideways load a bolt and what it goes through may carry",
        "the lesser of 0.45 × tensile strength × area ÷ 2 and plywood bearing",
        "forms of AISC 360 J3 and NDS yield mode I, from memory",
    ),
    figure(
        "bolt-uplift-holds",
        Measure::Force,
        "Pull a bolt and what it goes through may carry",
        "the lesser of 0.75 × tensile strength × area ÷ 2 and washer or plate pulling through",
        "form of AISC 360 J3, from memory",
    ),
    figure(
        "bolts-needed",
        Measure::Count,
        "Bolts like these that would carry it",
        "two rows, shear and uplift each within what a bolt holds",
        "49 CFR 393.102(a); statics",
    ),
    figure(
        "rows-needed",
        Measure::Length,
        "Row spacing, nose to tail, at which nothing lifts under 0.8 g",
        "2 × 0.8 × balance height",
        STATICS,
    ),
    figure(
        "tip-fore",
        Measure::Acceleration,
        "Braking at which it tips forward when nothing holds it down",
        "length ÷ (2 × balance height)",
        STATICS,
    ),
    figure(
        "tip-side",
        Measure::Acceleration,
        "Cornering at which it tips sideways when nothing holds it down",
        "width ÷ (2 × balance height)",
        STATICS,
    ),
    figure(
        "base-needed-fore",
        Measure::Length,
        "Length at which it stands through 0.8 g with nothing to hold it down; nought where straps or bolts do",
        "2 × 0.8 × balance height",
        "49 CFR 393.102(a); statics",
    ),
    figure(
        "base-needed-side",
        Measure::Length,
        "Width at which it stands through 0.5 g with nothing to hold it down; nought where straps or bolts do",
        "2 × 0.5 × balance height",
        "49 CFR 393.102(a); statics",
    ),
    figure(
        "hold-down",
        Measure::Mass,
        "Downward hold of straps and bolts",
        "counted working load of straps that rise 30 deg or more + pull the bolts may carry",
        "49 CFR 393.102(b)",
    ),
    figure(
        "downforce-needed",
        Measure::Mass,
        "Downward hold it needs where no closed box contains it; nought inside one",
        "20 % of the weight",
        "49 CFR 393.102(b)",
    ),
    figure(
        "downforce-short",
        Measure::Mass,
        "Downward hold missing; negative when there is more",
        "downward hold needed − hold",
        "49 CFR 393.102(b)",
    ),
];
