//! Properties and functions: what nothing has is told when the rule loads, what this thing has not when it runs.

use super::{Bench, holds, pointed, refused, script};

#[test]
fn a_property_that_nothing_has_is_told_when_the_rule_loads() {
    let bench = Bench::new();
    for (body, says, at) in [
        ("let a = thing.ratings.grosss; [()]", "nothing has a `grosss`; did you mean `gross`?", "grosss"),
        ("if false { thing.tounge; } [()]", "nothing has a `tounge`; did you mean `tongue`?", "tounge"),
        ("let a = `${thing.jackk}`; [()]", "nothing has a `jackk`; did you mean `jack`?", "jackk"),
        (
            "so(true).flag(#{ says: \"s\", at: thing.overall_widht })",
            "nothing has a `overall_widht`; did you mean `overall_width`?",
            "overall_widht",
        ),
        ("let a = thing.jack.is_stated; [()]", "nothing has a `is_stated`; did you mean `is_stated(..)`?", "is_stated"),
        ("let a = limit.msot; [()]", "the card has no limit `msot`; did you mean `most`?", "msot"),
        ("let a = limit.jack; [()]", "the card has no limit `jack`", "jack"),
    ] {
        holds(&refused(&bench, &script(body)), says, at);
    }
}

#[test]
fn a_function_that_is_not_there_is_told_when_the_rule_loads() {
    let bench = Bench::new();
    for (body, says, at) in [
        ("thing.jack.abvoe(limit.most); [()]", "there is no function `abvoe`; did you mean `above`?", "abvoe"),
        ("let a = allof([]); [()]", "there is no function `allof`; did you mean `all_of`?", "allof"),
        ("unsued(1, 2); [()]", "there is no function `unsued`; did you mean `unused`?", "unsued"),
    ] {
        holds(&refused(&bench, &script(body)), says, at);
    }
}

#[test]
fn a_property_that_this_thing_has_not_is_told_when_the_rule_runs() {
    let bench = Bench::new();
    for (body, says, at) in [
        ("let a = thing.capacity; [()]", "a trailer has no `capacity`", "capacity"),
        ("let a = thing.ratings.jack; [()]", "has no `jack`", "jack"),
        ("let a = rig.body; [()]", "has no `body`", "body"),
        ("let a = rig.of; [()]", "the rig is not part of anything", "of"),
        ("let a = thing.jack.gross; [()]", "a quantity has no `gross`", "gross"),
        ("let a = thing.body.gross; [()]", "a word has no `gross`", "gross"),
        ("let a = thing.name.gross; [()]", "a text has no `gross`", "gross"),
        ("let a = so(true).gross; [()]", "a verdict has no `gross`", "gross"),
        ("let a = [1].gross; [()]", "a list has no `gross`", "gross"),
    ] {
        let fault = bench.body(body).expect_err(body);
        assert!(fault.says.contains(says), "{body} said: {}", fault.says);
        assert_eq!(pointed(&fault), at, "{body}");
    }
    let fault = bench.body("let a = #{ at: 1 }; let b = a.gross; [()]").unwrap_err();
    assert_eq!(pointed(&fault), "gross");
}

#[test]
fn a_function_asked_of_the_wrong_kind_says_so() {
    let bench = Bench::new();
    for (body, says, at) in [
        ("let a = thing.jack.above(3000); [()]", "`above` can't be asked of a quantity with number", "above"),
        ("let a = thing.jack.above(\"3000 lb\"); [()]", "`above` can't be asked of a quantity with text", "above"),
        ("let a = thing.body.above(limit.most); [()]", "`above` can't be asked of a word with quantity", "above"),
        ("let a = thing.jack.is(\"open\"); [()]", "`is` can't be asked of a quantity with text", "is"),
        ("let a = thing.above(limit.most); [()]", "`above` can't be asked of a thing with quantity", "above"),
        ("let a = so(thing.jack.above(limit.most)); [()]", "`so` can't be asked of a verdict", "so"),
        ("let a = not_so(true); [()]", "`not_so` can't be asked of a yes or no", "not_so"),
        ("let a = all_of([so(true), true]); [()]", "true or false is not a verdict", "all_of"),
        ("let a = any_of([thing.jack]); [()]", "a quantity is not a verdict", "any_of"),
        ("let a = all_of(so(true)); [()]", "`all_of` can't be asked of a verdict", "all_of"),
        ("let a = thing.body.is(\"opne\"); [()]", "`body` is never `opne`; did you mean `open`?", "is"),
        ("let a = thing.body.is_any([\"open\", 2]); [()]", "takes a list of texts, not a plain number", "is_any"),
        ("let a = thing.body.is_any([]); [()]", "needs words to choose from", "is_any"),
        ("let a = thing.equalized.is(\"true\"); [()]", "`equalized` is yes or no", "is"),
        ("let a = thing.body.is_yes(); [()]", "`body` is not a yes or no", "is_yes"),
        ("let a = thing.is_a(\"tnak\"); [()]", "no kind of thing is called `tnak`; did you mean `tank`?", "is_a"),
        ("let a = thing.jack.count(); [()]", "`count` counts the entries of a list", "count"),
    ] {
        let fault = bench.body(body).expect_err(body);
        assert!(fault.says.contains(says), "{body} said: {}", fault.says);
        assert_eq!(pointed(&fault), at, "{body}");
    }
}

/// Two quantities of different kinds stand on no common scale, even where their dimensions agree.
#[test]
fn unlike_quantities_are_not_compared_or_added() {
    let bench = Bench::new();
    for (body, says) in [
        ("thing.jack.above(thing.overall_width)", "measure different things"),
        ("thing.jack.within(limit.most, limit.gap)", "measure different things"),
        ("thing.jack + thing.overall_width", "can't add"),
        ("thing.jack - thing.overall_width", "can't take"),
        ("thing.jack.larger(thing.overall_width)", "measure different things"),
        ("thing.overall_width.within(limit.gap * 2, limit.gap)", "the lower end stands first"),
    ] {
        let fault = bench.body(&format!("let a = {body}; [()]")).expect_err(body);
        assert!(fault.says.contains(says), "{body} said: {}", fault.says);
    }
}

/// Every function in the table of functions is one that a script can call.
#[test]
fn every_function_of_the_table_is_there() {
    let bench = Bench::new();
    for name in rigproof::rulebook::host::FUNCTIONS {
        let fault = bench.body(&format!("let a = thing.{name}(thing, thing, thing); [()]")).unwrap_err();
        assert!(fault.says.contains(&format!("`{name}` can't be asked of a thing")), "{name}: {}", fault.says);
    }
}

/// The engine keeps words such as `throw` and `is` for itself; a property called so must still be within reach.
#[test]
fn every_property_can_be_written_in_a_script() {
    let bench = Bench::new();
    for word in rigproof::rulebook::host::all_properties() {
        let word = word.replace('-', "_");
        let read = bench.read(&script(&format!("let a = thing.{word}; [()]")));
        assert!(read.is_ok(), "{word}: {:?}", read.err());
    }
}
