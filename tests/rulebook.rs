//! The standard rulebook: every rule proves, and runs on every spec of the demo shop.

use rigproof::inspection::Inspector;
use rigproof::rulebook::Rulebook;
use rigproof::trial;

/// Every trial beside every rule holds. `RULES=tongue,axle` runs only the rules whose id holds one of these words.
#[test]
fn every_rule_stands_its_trials() {
    let inspector = Inspector::standard().unwrap_or_else(|faults| panic!("{faults:#?}"));
    let only = std::env::var("RULES").unwrap_or_default();
    let wanted = |rule: &str| only.is_empty() || only.split(',').any(|word| rule.contains(word));
    let outcomes = trial::prove(&inspector, &Rulebook::standard_files(), &trial::demo_shop);
    let amiss: Vec<String> = outcomes
        .iter()
        .filter(|outcome| wanted(&outcome.rule))
        .filter_map(|outcome| {
            outcome.amiss.as_ref().map(|amiss| format!("{}: {}: {amiss}", outcome.rule, outcome.trial))
        })
        .collect();
    assert!(amiss.is_empty(), "{} trials do not hold:\n{}", amiss.len(), amiss.join("\n"));
    assert!(!outcomes.is_empty());
}
