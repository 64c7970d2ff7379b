//! A circuit laid out for reading: from the pump to the tip, what each thing on the way takes.

use super::pressure::{Circuit, State};
use super::way::Soft;
use crate::figures::hydraulics::{pipe, water};
use crate::place::Place;

/// A circuit with every fact in the middle of its range.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitTable {
    /// The circuit: the pump's id, and its end where it has several.
    pub name: String,
    /// The modes that it is the same in; empty where no mode names the pump.
    pub modes: Vec<String>,
    /// What the pump delivers, m3/s.
    pub pump_flow: f64,
    /// Pressure at the pump, Pa.
    pub pump_pressure: f64,
    /// What the unloader sends round, m3/s; nought while it is shut.
    pub bypass: f64,
    /// From the pump to the end, in the order of the flow.
    pub rows: Vec<CircuitRow>,
}

/// One thing on the way.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitRow {
    /// What people call it.
    pub name: String,
    /// What it is: `hose`, `pipe`, or the kind of part.
    pub kind: &'static str,
    /// Where it stands in the spec.
    pub place: Place,
    /// Bore, m, of a hose or pipe.
    pub bore: Option<f64>,
    /// Length, m, of a hose or pipe.
    pub length: Option<f64>,
    /// Flow through it, m3/s.
    pub flow: f64,
    /// Pressure where the flow enters it, Pa.
    pub pressure: f64,
    /// Lost in it, Pa; the tip loses all that is left.
    pub loss: f64,
    /// Spent on height, Pa; below nought where the way falls.
    pub height: f64,
    /// Speed in it, m/s, of a hose or pipe.
    pub speed: Option<f64>,
}

/// The tip at the end of a table.
pub(super) struct End {
    pub(super) name: String,
    pub(super) kind: &'static str,
    pub(super) place: Place,
}

/// Lays a washer's circuit out; `None` while a fact has no range.
pub(super) fn lay_out(circuit: &Circuit, name: String, modes: Vec<String>, end: End) -> Option<CircuitTable> {
    let point = circuit.middle()?;
    let soft = Soft::USUAL;
    let liquid = water::water(soft.temperature);
    let State { pump_flow, point: settled, .. } = circuit.state(&point, &soft);
    let laid = circuit.way.laid(&point, &soft, liquid);
    let mut pressure = settled.pump_pressure;
    let mut rows = Vec::with_capacity(circuit.way.elements.len() + 1);
    for (at, element) in circuit.way.elements.iter().enumerate() {
        let loss = laid.loss(at, liquid, settled.flow);
        let height = liquid.density * crate::figures::hydraulics::GRAVITY * laid.rises[at];
        rows.push(CircuitRow {
            name: element.name.clone(),
            kind: element.kind,
            place: element.place.clone(),
            bore: element.bore.map(|number| point[number]),
            length: element.length.map(|number| point[number]),
            flow: settled.flow,
            pressure,
            loss,
            height,
            speed: element.bore.map(|_| pipe::velocity(settled.flow, laid.hoses[at].bore)),
        });
        pressure -= loss + height;
    }
    rows.push(CircuitRow {
        name: end.name,
        kind: end.kind,
        place: end.place,
        bore: None,
        length: None,
        flow: settled.flow,
        pressure,
        loss: pressure,
        height: 0.0,
        speed: None,
    });
    Some(CircuitTable { name, modes, pump_flow, pump_pressure: settled.pump_pressure, bypass: settled.bypass, rows })
}
