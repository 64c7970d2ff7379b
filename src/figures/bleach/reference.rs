//! Strength, loss and doses against tests/reference/chemistry.csv, which general chemistry libraries wrote.

use std::collections::BTreeMap;

use super::super::mixing::safekeeping::Neutraliser;
use super::super::mixing::{Part, mixed_strength};
use super::keeping::{Keeping, equivalent_temperature, oxygen_make, rate_constant, strength_after};
use super::*;

struct Row {
    kind: &'static str,
    subject: &'static str,
    inputs: Vec<f64>,
    value: f64,
}

fn rows() -> Vec<Row> {
    let text = include_str!("../../../tests/reference/chemistry.csv");
    let lines = text.lines().skip(1).filter(|line| !line.starts_with("path,"));
    lines
        .map(|line| {
            let cells: Vec<&str> = line.split(',').collect();
            let [kind, subject, inputs, value] = cells[..] else { panic!("four columns: {line}") };
            let inputs = inputs.split_whitespace().map(|number| number.parse().unwrap()).collect();
            Row { kind, subject, inputs, value: value.parse().unwrap() }
        })
        .collect()
}

/// What the figures say for a row, and how near they must come.
fn figure(row: &Row) -> (f64, f64) {
    let input = &row.inputs;
    let keeping = || Keeping { chlorine: input[0], ionic_strength: input[1], temperature: input[2], factor: input[3] };
    let agent = || match row.subject.split(' ').next() {
        Some("C6H8O6") => Neutraliser::AscorbicAcid,
        Some("C6H7O6Na") => Neutraliser::SodiumAscorbate,
        Some("Na2SO3") => Neutraliser::SodiumSulfite,
        Some("NaHSO3") => Neutraliser::SodiumBisulfite,
        Some("Na2S2O5") => Neutraliser::SodiumMetabisulfite,
        Some("Na2S2O3") => Neutraliser::Thiosulfate,
        other => panic!("no such agent: {other:?}"),
    };
    match row.kind {
        "molar" => match row.subject {
            "NaClO" => (SODIUM_HYPOCHLORITE, 1e-8),
            "Cl2" => (CHLORINE, 1e-8),
            "NaOH" => (SODIUM_HYDROXIDE, 1e-8),
            _ => (agent().molar_mass(), 1e-8),
        },
        "dose" if row.subject.ends_with("most") => (agent().dose().1, 1e-8),
        "dose" => (agent().dose().0, 1e-8),
        // Away from 20 degC the reading stays at 20 degC; the uncertainty says by how much it may miss.
        "water" if input[0] == 20.0 => (density(0.0, 0.0), 1e-6),
        "water" if (15.0..=25.0).contains(&input[0]) => (density(0.0, 0.0), DENSITY_UNCERTAINTY),
        "water" => (density(0.0, 0.0), DENSITY_UNCERTAINTY + DENSITY_UNCERTAINTY_HOT_OR_COLD),
        // The paper rounds Boltzmann over Planck to 2.083e10, the library does not.
        "constant" => (rate_constant(input[0], input[1]), 1e-3),
        "left" => (strength_after(&keeping(), input[4]), 1e-3),
        "oxygen" => (oxygen_make(&keeping(), input[5]) * input[4], 1e-3),
        "equivalent" => (equivalent_temperature(input[0], input[1]), 1e-6),
        "by-weight" if row.subject == "hypochlorite" => {
            (from_weight_percent_hypochlorite(input[0], input[1]).unwrap(), 1e-6)
        }
        "by-weight" => (from_weight_percent_chlorine(input[0], input[1]).unwrap(), 1e-6),
        // Volumes are taken to add; the library's row lets the density shrink them.
        "diluted" => {
            let parts = [Part { volume: 1.0, chlorine: input[0] }, Part { volume: input[2], chlorine: 0.0 }];
            (mixed_strength(&parts).unwrap(), 2e-4)
        }
        other => panic!("no such kind: {other}"),
    }
}

#[test]
fn figures_agree_with_general_chemistry_libraries() {
    // chempy 0.10.2 (molar masses, balanced reactions, Eyring equation), molmass 2026.1.8, chemicals 1.5.2 (IAPWS-95),
    // scipy 1.17.1 (integration and roots).
    let mut counted: BTreeMap<&str, usize> = BTreeMap::new();
    for row in rows() {
        let (found, relative) = figure(&row);
        let (kind, subject, inputs, wanted) = (row.kind, row.subject, &row.inputs, row.value);
        assert!((found / wanted - 1.0).abs() <= relative, "{kind} {subject} {inputs:?}: {found}, wanted {wanted}");
        *counted.entry(row.kind).or_default() += 1;
    }
    let wanted = [
        ("by-weight", 30),
        ("constant", 12),
        ("diluted", 4),
        ("dose", 7),
        ("equivalent", 4),
        ("left", 5),
        ("molar", 9),
        ("oxygen", 2),
        ("water", 5),
    ];
    assert_eq!(counted.into_iter().collect::<Vec<_>>(), wanted);
}
