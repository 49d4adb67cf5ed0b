//! A kind for the tests alone: everything that a kind needs stands in this one file and in
//! one line of the table.

use crate::sort::Sort;
use crate::trouble::trouble;

use super::{Row, Verb};

pub(super) const ROW: Row = Row {
    word: "trial",
    parameters: &[
        ("glaze", Sort::Glaze),
        ("times", Sort::Number),
        ("option", Sort::Options),
    ],
    about: "A number.",
    gives: "Nothing.",
    asked_by: "nobody",
    speaks: &[],
    template: "// {{name}}: {{title}}.\nconst ABOUT = #{ api: 1, kind: \"trial\", title: \"{{title}}\" };\n\
               fn trial(glaze, times, option) { glaze.unity.SiO2 * times }\n\
               fn test_twice(t) { t.near(t.trial(#{ CaO: 1, SiO2: 3 }), 6, 1e-9); }\n",
    verb: Verb {
        parameter: "glaze",
        returns: Sort::Number,
        about: "Twice what `trial` gives.",
        run: |context, tester, given| {
            let arguments = (crate::values::tried::glaze(given)?, 2_i64, tester.own_options()?);
            let answer = context.call_fn::<rhai::Dynamic>(ROW.word, arguments)?;
            crate::language::number(&answer)
                .map(rhai::Dynamic::from)
                .ok_or_else(|| trouble("stray-value", "`trial` gives a number"))
        },
    },
};

mod tests {
    use std::sync::Arc;

    use glost_chemistry::diagnostic::Source;

    use crate::{Kind, Scene, Script, template};

    #[test]
    fn a_kind_of_one_file_loads_and_is_tested() {
        let kind = Kind::from_word("trial").unwrap();
        assert_eq!(kind.entry(), "fn trial(glaze, times, option)");
        let script = Script::load("trial/own", Source::from_text("own.rhai", &template(kind, "trial/own"))).unwrap();
        let outcomes = script.run_tests(&Arc::new(Scene::default()));
        assert_eq!(outcomes.len(), 1);
        assert!(outcomes[0].passed(), "{outcomes:?}");
        let two = "const ABOUT = #{ api: 1, kind: \"trial\", title: \"x\" };\nfn trial(glaze, option) { 1 }";
        let why = Script::load("trial/two", Source::from_text("two.rhai", two)).unwrap_err();
        assert_eq!(
            why.message,
            "`trial` takes three parameters: `fn trial(glaze, times, option)`"
        );
        let speaks = two.replace("(glaze, option) { 1 }", "(glaze, times, option) { say(\"x\"); 1 }");
        let why = Script::load("trial/says", Source::from_text("says.rhai", &speaks)).unwrap_err();
        assert!(why.help.is_some_and(|help| help.contains("kind `run` can use `say`")));
    }
}
