//! Which notes are pooled for a clay and a firing, and why others aren't.

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{FluxList, Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::{Date, Millilitres};
use glost_core::evidence::notes::{Notes, Version, Versions};
use glost_core::evidence::ware::read_clay;
use glost_core::evidence::window::{
    Edge, Evidence, Known, Notebook, WindowSettings, clay_knowledge, fit, gather, glaze_belief,
};

const SHELF: &str = "materials:
  - { name: spar, kind: mineral, basis: as supplied, source: x, loss_on_ignition: 0.4, analysis: { SiO2: 67, Al2O3: 18, K2O: 10.5, Na2O: 3.5, CaO: 0.6 } }
  - { name: silica, formula: SiO2, source: x }
  - { name: whiting, formula: CaCO3, source: x }
  - { name: cobalt carbonate, formula: CoCO3, source: x }
  - { name: bought, kind: powder, analysis: unknown, expansion: 6.2e-6/K at 20-400 C, source: bag }
  - { name: plain bag, kind: powder, analysis: unknown, source: bag }
";

fn glaze(text: &str) -> Glaze {
    let mut library = Library::default();
    library.add_layer(read_materials(&Source::from_text("m.yaml", SHELF)).0, false);
    let file = read_glaze(&Source::from_text("g.yaml", text), Millilitres::METRIC_CUP).unwrap();
    file.resolve(&library).unwrap()
}

fn clear() -> Glaze {
    glaze("glaze: Clear\ncone: 6\nparts: { spar: 50, silica: 28, whiting: 22 }\n")
}

fn evidence_of(asked: &Glaze, glazes: &[Glaze], notes: &str, versions: &str, firing: Option<&str>) -> Evidence {
    let (notes, complaints) = Notes::read(&Source::from_text("notes.jsonl", notes));
    assert!(
        complaints.iter().all(|complaint| complaint.code == "no-pieces"),
        "{complaints:?}"
    );
    let (versions, complaints) = Versions::read(&Source::from_text("versions.jsonl", versions));
    assert_eq!(complaints, []);
    let book = Notebook {
        notes: &notes,
        versions: &versions,
        glazes,
        fluxes: &FluxList::default(),
        settings: &WindowSettings::default(),
    };
    gather(&book, asked, "buff", firing)
}

fn evidence(notes: &str) -> Evidence {
    let clear = clear();
    evidence_of(&clear, std::slice::from_ref(&clear), notes, "", None)
}

/// A note of five pieces on the buff clay, with more said.
fn note(more: &str) -> String {
    format!(
        "{{\"on\": \"2026-11-20\", \"glaze\": \"Clear\", \"clay\": \"buff\", \"cone\": \"6\", \"pieces\": 5, {more}}}\n"
    )
}

fn why(evidence: &Evidence) -> Vec<String> {
    let lines = evidence.lines.iter();
    lines.map(|line| line.why_not.clone().unwrap_or_default()).collect()
}

#[test]
fn later_looks_at_a_batch_count_and_only_they() {
    let notes = [
        note("\"batch\": 3, \"age_days\": 180, \"crazed\": 1"),
        note("\"batch\": \"3\", \"age_days\": 30, \"crazed\": 0, \"shivered\": 0"),
        note("\"age_days\": 30, \"crazed\": 0"),
        note("\"age_days\": 30, \"crazed\": 0"),
        // The same age, a later line.
        note("\"batch\": \"3\", \"age_days\": 180, \"crazed\": 2"),
    ];
    let found = evidence(&notes.concat());
    let own = &found.witnesses[found.own.unwrap()];
    assert_eq!(own.counted(Edge::Craze), (15, 2));
    // Nobody looked for shivering later: the early look still counts for that.
    assert_eq!(own.counted(Edge::Shiver), (5, 0));
    assert_eq!(why(&found), ["a later look at the same pieces counts", "", "", "", ""]);
}

#[test]
fn a_line_taken_back_is_gone() {
    let notes = note("\"age_days\": 30, \"crazed\": 5") + "{\"on\": \"2026-11-21\", \"void\": 1}\n";
    let found = evidence(&notes);
    assert!(found.witnesses.is_empty() && found.lines.is_empty());
}

#[test]
fn another_clay_another_firing_and_torture_stay_apart() {
    let notes = [
        note("\"age_days\": 30, \"crazed\": 0"),
        note("\"age_days\": 30, \"crazed\": 5").replace("\"buff\"", "\"white\""),
        note("\"age_days\": 30, \"crazed\": 5").replace("\"cone\": \"6\"", "\"cone\": \"04\""),
        note("\"age_days\": 30, \"crazed\": 5, \"firing\": \"slow\""),
        note("\"age_days\": 30, \"crazed\": 5, \"test\": \"boil and ice\""),
        // A laboratory's autoclave pass stands for three years.
        note("\"age_days\": 1095, \"crazed\": 0, \"lab\": \"autoclave, ISO 10545-11\""),
    ];
    let found = evidence(&notes.concat());
    assert_eq!(found.lines.len(), 5, "the other clay isn't even listed");
    assert_eq!(found.witnesses[0].counted(Edge::Craze), (10, 0));
    let told = why(&found);
    assert!(told[1].contains("cone 04") && told[2].contains("slow") && told[3].contains("boil and ice"));
    let clear = clear();
    let slow = evidence_of(&clear, &[], &notes.concat(), "", Some("Slow"));
    assert_eq!(slow.witnesses[0].counted(Edge::Craze), (5, 5));
}

#[test]
fn what_cannot_be_counted_is_listed_with_its_reason() {
    let notes = [
        note("\"age_days\": 30, \"crazed\": 0, \"thickness_mm\": 0.4"),
        note("\"age_days\": 30, \"crazed\": 0, \"thickness_mm\": 0.5"),
        note("\"age_days\": 30, \"crazed\": 5, \"thickness_mm\": 0.76"),
        note("\"age_days\": 30, \"crazed\": 0").replace("Clear", "Gone"),
        note("\"age_days\": 30, \"crazed\": 2").replace("\"pieces\": 5, ", ""),
        note("\"age_days\": 30, \"crazed\": 0").replace("\"glaze\": \"Clear\"", "\"tile\": \"A1\""),
        note("\"age_days\": 30, \"grades\": {\"gloss\": 4}"),
    ];
    let found = evidence(&notes.concat());
    assert_eq!(found.witnesses[0].counted(Edge::Craze), (10, 0));
    let told = why(&found);
    assert_eq!(told.len(), 6, "a grade of gloss says nothing about fit");
    assert!(told[2].contains("0.76 mm thick where 0.5 mm is usual"));
    assert!(told[4].contains("how many pieces") && told[5].contains("tile"));
}

#[test]
fn pieces_of_a_glaze_that_no_file_describes_count_as_of_unknown_expansion() {
    let notes = [
        note("\"age_days\": 30, \"crazed\": 0").replace("Clear", "Gone"),
        note("\"age_days\": 30, \"crazed\": 1").replace("Clear", "gone"),
    ];
    let found = evidence(&notes.concat());
    assert_eq!((found.witnesses.len(), found.own), (1, None));
    assert_eq!(found.witnesses[0].counted(Edge::Craze), (10, 1));
    let believed = found.witnesses[0].believed;
    assert_eq!(believed.known, Known::Unknown);
    assert_eq!((believed.belief.mean, believed.belief.sd), (6.5, 1.5));
    assert!(
        found
            .said
            .iter()
            .any(|said| said.contains("no file tells what Gone is"))
    );
    // What it was stands in the book of versions.
    let then = glaze("glaze: Gone\nparts: { spar: 60, silica: 18, whiting: 22 }\n");
    let versions = Version::of(&then, "v1", Date::new(2026, 1, 1).unwrap()).to_line();
    let notes = note("\"age_days\": 30, \"crazed\": 0, \"version\": \"v1\"").replace("Clear", "Gone");
    let clear = clear();
    let found = evidence_of(&clear, &[], &notes, &(versions + "\n"), None);
    assert_eq!(found.witnesses[0].believed.known, Known::Computed);
}

#[test]
fn a_file_that_names_a_cone_takes_the_one_firing_that_its_notes_name() {
    let spring = note("\"age_days\": 30, \"crazed\": 0, \"firing\": \"spring\"");
    let slow = note("\"age_days\": 30, \"crazed\": 5, \"firing\": \"slow\"");
    let found = evidence(&(spring.clone() + &spring));
    assert_eq!(found.witnesses[0].counted(Edge::Craze), (10, 0));
    assert!(
        found
            .said
            .iter()
            .any(|said| said.contains("all notes of that cone are of spring"))
    );
    // Several firings at that cone: nobody can say which is meant.
    assert!(evidence(&(spring + &slow)).witnesses.is_empty());
}

#[test]
fn pieces_of_an_older_recipe_speak_for_a_glaze_of_their_own() {
    let (today, day) = (clear(), Date::new(2026, 1, 1).unwrap());
    let before = glaze("glaze: Clear\ncone: 6\nparts: { spar: 60, silica: 18, whiting: 22 }\n");
    let versions = format!(
        "{}\n{}\n",
        Version::of(&before, "v1", day).to_line(),
        Version::of(&today, "v2", day).to_line()
    );
    let notes = [
        note("\"age_days\": 200, \"crazed\": 5, \"version\": \"v1\""),
        note("\"age_days\": 30, \"crazed\": 0, \"version\": \"v2\""),
        note("\"age_days\": 30, \"crazed\": 0"),
        note("\"age_days\": 30, \"crazed\": 0, \"version\": \"v9\""),
    ];
    let found = evidence_of(&today, &[], &notes.concat(), &versions, None);
    assert_eq!(found.witnesses.len(), 2);
    let own = &found.witnesses[found.own.unwrap()];
    let old = found
        .witnesses
        .iter()
        .find(|witness| witness.version.as_deref() == Some("v1"))
        .unwrap();
    assert_eq!((own.counted(Edge::Craze), old.counted(Edge::Craze)), ((10, 0), (5, 5)));
    let settings = WindowSettings::default();
    let computed = |glaze: &Glaze| glaze_belief(glaze, &FluxList::default(), &settings).believed;
    assert_eq!((own.believed, old.believed), (computed(&today), computed(&before)));
    assert!(
        old.believed.belief.mean > own.believed.belief.mean,
        "less silica, more expansion"
    );
    assert!(why(&found)[3].contains("v9"));
    assert!(found.said.iter().any(|said| said.contains("without a version")));
}

#[test]
fn an_age_nobody_wrote_comes_from_an_earlier_look_at_the_batch() {
    let notes = note("\"batch\": \"1\", \"age_days\": 10, \"crazed\": 0").replace("2026-11-20", "2026-10-01")
        + &note("\"batch\": \"1\", \"crazed\": 0")
        + &note("\"crazed\": 0");
    let found = evidence(&notes);
    let ages: Vec<f64> = found.witnesses[0].looks.iter().map(|look| look.age_days).collect();
    assert_eq!(ages, [10.0, 60.0, 0.0]);
    assert!(found.said.iter().any(|said| said.contains("line 3 says no age")));
}

#[test]
fn a_powder_alone_has_what_is_printed_and_with_anything_in_it_nothing() {
    let settings = WindowSettings::default();
    let belief =
        |parts: &str| glaze_belief(&glaze(&format!("glaze: P\n{parts}\n")), &FluxList::default(), &settings).believed;
    let alone = belief("parts: { bought: 5 }");
    assert_eq!(
        (alone.known, alone.belief.mean, alone.belief.sd),
        (Known::Printed, 6.2, 0.6)
    );
    for with in [
        "parts: { bought: 97, silica: 3 }",
        "parts: { bought: 100 }\nadditions: { cobalt carbonate: 1 }",
        "parts: { plain bag: 1 }",
    ] {
        let unknown = belief(with);
        assert_eq!(
            (unknown.known, unknown.belief.mean, unknown.belief.sd),
            (Known::Unknown, 6.5, 1.5),
            "{with}"
        );
    }
    assert_eq!(belief("parts: { bought: 1, silica: 0 }").known, Known::Printed);
}

#[test]
fn a_clays_own_expansion_moves_the_prior_and_its_absorption_the_ageing() {
    let clay = |more: &str| read_clay(&Source::from_text("c.yaml", &format!("clay: buff\n{more}\n"))).unwrap();
    let clear = clear();
    let empty = (Notes::default(), Versions::default());
    let settings = WindowSettings::default();
    let book = Notebook {
        notes: &empty.0,
        versions: &empty.1,
        glazes: &[],
        fluxes: &FluxList::default(),
        settings: &settings,
    };
    for (printed, mean, sd) in [
        ("", 6.5, 1.2),
        ("expansion: 7.7e-6/K at 20-400 C", 7.4, 0.8),
        ("expansion: 7.0e-6/K at 20-300 C", 7.0 * 1.027 - 0.3, 0.8),
        ("expansion: 77.7e-7", 7.47, 0.8),
    ] {
        let prior = fit(&book, &clear, &clay(printed), None, None).window.craze.prior();
        assert!(
            (prior.mean - mean).abs() < 1e-9 && prior.sd == sd,
            "{printed}: {prior:?}"
        );
    }
    let dense = |absorption: &str| settings.is_dense(&clay_knowledge(&clay(absorption)).0);
    assert!(dense("absorption: 3") && !dense("absorption: 3.01") && !dense(""));
}
