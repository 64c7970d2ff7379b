//! The spec as a whole, and what stands around the rig: who prepared it, duties, climate, kit, papers, variances.

use super::fact::{Amount, Flag, PartRef, Text, Word};
use super::form::{Shape::*, form};
use super::parts::AnyPart;
use super::system::{Line, Mode, Wire};
use super::takeoff::{Named, Strength};
use super::trailer::Trailer;
use super::vehicle::Vehicle;
use crate::measure::Measure::*;

form! {
    /// One rig.
    Spec "rig", required ["rigproof", "name"] {
        /// Edition of the spec format.
        edition "rigproof": Amount = Amount(Count), "1";
        /// What the shop calls the rig.
        name "name": Text = Text, "Quarry Hill roof and siding rig";
        /// Who prepared the spec.
        prepared "prepared": Prepared = Group(Prepared::FORM), "{ shop: Quarry Hill Fit-Out, revision: C, units: us }";
        /// Parts books, by the name that `from` uses; paths start at this file's folder.
        books "books": Vec<Named<Text>> = Named(&Text), "{ shop: shop-parts.yaml }";
        /// The trailer. Leave it out for a rig in a truck bed.
        trailer "trailer": Option<Trailer> = Group(Trailer::FORM), "{ body: enclosed }";
        /// The vehicle that tows the trailer, or carries the rig in its bed.
        vehicle "vehicle": Option<Vehicle> = Group(Vehicle::FORM), "{ wheelbase: 145 in }";
        /// Everything that is fitted or carried, by id.
        parts "parts": Vec<Named<AnyPart>> = Named(&AnyPart), "{ water: { kind: tank, holds: water, capacity: 100 gal } }";
        /// Plumbing, line by line.
        plumbing "plumbing": Vec<Line> = Many(&Group(Line::FORM)), "[{ from: water.outlet, to: washer.inlet, hose: 1 in, length: 5 ft }]";
        /// Wiring, run by run.
        wiring "wiring": Vec<Wire> = Many(&Group(Wire::FORM)), "[{ from: battery.plus, to: roof-pump.plus, gauge: 8 AWG, length: 7 ft }]";
        /// How the rig is set, by mode.
        modes "modes": Vec<Named<Mode>> = Named(&Group(Mode::FORM)), "{ wash: { running: [washer], doors: open } }";
        /// Jobs it must be able to do.
        duties "duties": Vec<Duty> = Many(&Group(Duty::FORM)), "[{ job: roof, with: roof-pump, ridge: 24 ft, hose-run: 150 ft }]";
        /// Where it works and is stored.
        climate "climate": Climate = Group(Climate::FORM), "{ hottest: 100 F, coldest: 18 F, stored: unheated }";
        /// Roadside and safety kit.
        kit "kit": Kit = Group(Kit::FORM), "{ chocks: 4, triangles: 3, spare-wheel: yes }";
        /// Papers that go with the rig.
        papers "papers": Papers = Group(Papers::FORM), "{ certification-label: yes, safety-data-sheets: yes }";
        /// Accepted departures from a rule.
        variances "variances": Vec<Variance> = Many(&Group(Variance::FORM)), "[{ rule: aisle-too-narrow, at: parts.washer, reason: one-person crew, approved: shop foreman, until: 2027-06-30 }]";
    }
}

form! {
    /// Who prepared the spec.
    Prepared "prepared" {
        /// The shop.
        shop "shop": Text = Text, "Quarry Hill Fit-Out";
        /// The person.
        by "by": Text = Text, "the shop foreman";
        /// Revision letter or number.
        revision "revision": Text = Text, "C";
        /// Day of the revision.
        date "date": Text = Date, "2026-10-01";
        /// Units for reports.
        units "units": Word = Word(&["us", "si"]), "us";
    }
}

form! {
    /// A job the rig must be able to do.
    Duty "duty", required ["job"] {
        /// The surface or work.
        job "job": Text = Text, "roof";
        /// The pump or washer it is done with.
        with "with": PartRef = Part, "roof-pump";
        /// Height of the ridge above the ground.
        ridge "ridge": Amount = Amount(Length), "24 ft";
        /// Hose from the reel to the work.
        hose_run "hose-run": Amount = Amount(Length), "150 ft";
        /// Strength wanted on the surface.
        strength "strength": Strength = Strength, "3 % trade";
        /// Area of one job.
        area "area": Amount = Amount(Area), "2200 sq ft";
        /// Jobs a day.
        per_day "per-day": Amount = Amount(Count), "2";
        /// Pressure wanted at the gun.
        pressure_at_gun "pressure-at-gun": Amount = Amount(Pressure), "2500 psi";
        /// Flow wanted at the gun.
        flow_at_gun "flow-at-gun": Amount = Amount(Flow), "3.5 gpm";
        /// Hours at it a day.
        hours "hours": Amount = Amount(Duration), "3 h";
        /// Distance from the hose tap.
        from_tap "from-tap": Amount = Amount(Length), "150 ft";
        /// Liquid put on an area.
        coverage "coverage": Amount = Amount(Length), "0.4 mm";
        /// Spray distance from the tip to the surface.
        throw "throw": Amount = Amount(Length), "12 ft";
    }
}

form! {
    /// Where the rig works and is stored.
    Climate "climate" {
        /// Hottest working day.
        hottest "hottest": Amount = Amount(Temperature), "100 F";
        /// Coldest night.
        coldest "coldest": Amount = Amount(Temperature), "18 F";
        /// How it is stored.
        stored "stored": Word = Word(&["heated", "unheated", "outside"]), "unheated";
        /// Altitude above sea level.
        altitude "altitude": Amount = Offset(Length), "1200 ft";
        /// Temperature the bleach is stored at through the season.
        bleach_store "bleach-store": Amount = Amount(Temperature), "85 F";
    }
}

form! {
    /// Roadside and safety kit.
    Kit "kit" {
        /// Wheel chocks.
        chocks "chocks": Amount = Amount(Count), "4";
        /// Warning triangles.
        triangles "triangles": Amount = Amount(Count), "3";
        /// Spare wheel, jack and wrench.
        spare_wheel "spare-wheel": Flag = Flag, "yes";
        /// Goggles, face shield, gloves and boots.
        protective_gear "protective-gear": Flag = Flag, "yes";
        /// First-aid kit.
        first_aid "first-aid": Flag = Flag, "yes";
        /// Hearing protection.
        hearing "hearing": Flag = Flag, "yes";
        /// A fire extinguisher; `no` says that there is none.
        extinguisher "extinguisher": Flag = Flag, "yes";
        /// An eyewash; `no` says that there is none.
        eyewash "eyewash": Flag = Flag, "yes";
        /// A spill kit; `no` says that there is none.
        spill_kit "spill-kit": Flag = Flag, "yes";
        /// Spill trays under the chemical tanks; `no` says that there are none.
        tray "tray": Flag = Flag, "yes";
        /// A carbon monoxide alarm; `no` says that there is none.
        co_alarm "co-alarm": Flag = Flag, "yes";
    }
}

form! {
    /// Papers that go with the rig.
    Papers "papers" {
        /// Certification label with the ratings.
        certification_label "certification-label": Flag = Flag, "yes";
        /// Safety data sheets of what it carries.
        safety_data_sheets "safety-data-sheets": Flag = Flag, "yes";
        /// Makers' manuals.
        manuals "manuals": Flag = Flag, "yes";
        /// Scale ticket of the finished rig.
        scale_ticket "scale-ticket": Flag = Flag, "yes";
        /// Used in a business, across state lines or inside one state.
        used "used": Word = Word(&["business-interstate", "business-intrastate", "private"]), "business-intrastate";
    }
}

form! {
    /// An accepted departure from a rule.
    Variance "variance", required ["rule", "at", "reason", "approved"] {
        /// The rule it departs from.
        rule "rule": Text = Text, "aisle-too-narrow";
        /// Where.
        at "at": Text = Text, "parts.washer";
        /// Why it is accepted.
        reason "reason": Text = Text, "one-person crew";
        /// Who accepted it.
        approved "approved": Text = Text, "shop foreman";
        /// Last day it holds.
        until "until": Text = Date, "2027-06-30";
        /// The figure it was granted for; it lapses when the figure gets worse.
        figure "figure": Text = Text, "22.5 in";
    }
}
