//! Which notes are pooled for a clay and a firing, and why others aren't.

use std::sync::Arc;

use glost_chemistry::diagnostic::Source;
use glost_chemistry::glaze::{FluxList, Glaze, read_glaze};
use glost_chemistry::material::{Library, read_materials};
use glost_chemistry::quantity::{Date, Millilitres};
use glost_core::evidence::notes::{Notes, Version, Versions};
use glost_core::evidence::ware::read_clay;
use glost_core::evidence::window::{
    Asking, ClayKnowledge, Edge, Evidence, FitSaid, Kiln, Known, KnownFirings, LadderTile, LearntTables, Lowering,
    Notebook, Step, Verdict, WhyNot, WindowSettings, clay_knowledge, fit, gather, glaze_belief, place_in_window,
};

const SHELF: &str = "materials:
  - { name: spar, kind: mineral, basis: as supplied, source: x, loss_on_ignition: 0.4, analysis: { SiO2: 67, Al2O3: 18, K2O: 10.5, Na2O: 3.5, CaO: 0.6 } }
  - { name: silica, formula: SiO2, source: x }
  - { name: white clay, kind: clay, basis: as supplied, source: x, loss_on_ignition: 13.2, analysis: { SiO2: 47, Al2O3: 38, K2O: 1.8 } }
  - { name: whiting, formula: CaCO3, source: x }
  - { name: cobalt carbonate, formula: CoCO3, source: x }
  - { name: bought, kind: powder, analysis: unknown, expansion: 6.2e-6/K at 20-400 C, source: bag }
  - { name: plain bag, kind: powder, analysis: unknown, source: bag }
";

fn glaze(text: &str) -> Glaze {
    let file = read_glaze(&Source::from_text("g.yaml", text), Millilitres::METRIC_CUP).unwrap();
    file.resolve(&shelf()).unwrap()
}

fn clear() -> Glaze {
    glaze("glaze: Clear\ncone: 6\nparts: { spar: 50, silica: 28, whiting: 22 }\n")
}

fn evidence_of(asked: &Glaze, glazes: &[Glaze], notes: &str, versions: &str, firing: Option<&str>) -> Evidence {
    let glazes: Vec<Arc<Glaze>> = glazes.iter().cloned().map(Arc::new).collect();
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
        glazes: &glazes,
        ladders: &ladders(),
        library: &shelf(),
        firings: &[],
        fluxes: &FluxList::default(),
        settings: &WindowSettings::default(),
        learnt: &LearntTables::default(),
    };
    let firing = firing.map(|text| book.firings_known().asked(text).unwrap());
    gather(&book, asked, "buff", &ClayKnowledge::default(), firing.as_ref())
}

/// A saved ladder of silica on the plain bag.
fn ladders() -> Vec<LadderTile> {
    let tile = |code: &str, percent: f64| LadderTile {
        tile: format!("bag/{code}"),
        base: "Bag".to_owned(),
        step: (percent > 0.0).then(|| Step {
            material: "silica".to_owned(),
            percent,
        }),
        materials: vec!["plain bag".to_owned()],
        own: None,
    };
    vec![tile("A1", 0.0), tile("A2", 3.0), tile("A3", 6.0), tile("A4", 9.0)]
}

fn shelf() -> Library {
    let mut library = Library::default();
    library.add_layer(read_materials(&Source::from_text("m.yaml", SHELF)).0, false);
    library
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

fn why(evidence: &Evidence) -> Vec<Option<WhyNot>> {
    evidence.lines.iter().map(|line| line.why_not.clone()).collect()
}

#[test]
fn later_looks_at_a_batch_count_and_only_they() {
    let notes = [
        note("\"batch\": 3, \"age_days\": 180, \"crazed\": 1"),
        note("\"batch\": \"3\", \"age_days\": 30, \"crazed\": 0, \"shivered\": 0"),
        note("\"age_days\": 30, \"crazed\": 0"),
        note("\"age_days\": 30, \"crazed\": 0, \"copy\": 2"),
        // The same age, a later line.
        note("\"batch\": \"3\", \"age_days\": 180, \"crazed\": 2"),
    ];
    let found = evidence(&notes.concat());
    let own = &found.witnesses[found.own.unwrap()];
    assert_eq!(own.counted(Edge::Craze), (15, 2));
    // Nobody looked for shivering later: the early look still counts for that.
    assert_eq!(own.counted(Edge::Shiver), (5, 0));
    assert_eq!(why(&found), [Some(WhyNot::LaterLook), None, None, None, None]);
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
        note("\"age_days\": 30, \"crazed\": 5, \"firing\": \"slow\", \"apart\": true"),
        note("\"age_days\": 30, \"crazed\": 5, \"test\": \"boil and ice\""),
        // A laboratory's autoclave pass stands for three years.
        note("\"age_days\": 1095, \"crazed\": 0, \"lab\": \"autoclave, ISO 10545-11\""),
    ];
    let found = evidence(&notes.concat());
    assert_eq!(found.lines.len(), 5, "the other clay isn't even listed");
    assert_eq!(found.witnesses[0].counted(Edge::Craze), (10, 0));
    let other = |kiln: Kiln| Some(WhyNot::OtherFiring(kiln));
    assert_eq!(
        why(&found)[1..4],
        [
            other(Kiln::Cone("04".to_owned())),
            other(Kiln::Named("slow, cone 6".to_owned())),
            Some(WhyNot::Tested("boil and ice".to_owned()))
        ]
    );
    assert!(found.failed_test() && found.tested[0].crazed == 5);
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
    let thick = WhyNot::Thickness {
        own_mm: 0.76,
        usual_mm: 0.5,
    };
    assert_eq!(told[2], Some(thick));
    assert_eq!(told[4..6], [Some(WhyNot::NoPieces), Some(WhyNot::UntoldTile)]);
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
    assert!(found.said.contains(&FitSaid::Untold {
        glaze: "Gone".to_owned(),
        near: None
    }));
    // What it was stands in the book of versions.
    let then = glaze("glaze: Gone\nparts: { spar: 60, silica: 18, whiting: 22 }\n");
    let versions = Version::of(&then, "v1", Date::new(2026, 1, 1).unwrap()).to_line(&|said| format!("{said:?}"));
    let notes = note("\"age_days\": 30, \"crazed\": 0, \"version\": \"v1\"").replace("Clear", "Gone");
    let clear = clear();
    let found = evidence_of(&clear, &[], &notes, &(versions + "\n"), None);
    assert_eq!(found.witnesses[0].believed.known, Known::Computed);
}

/// Two firings to one cone, each with a name: crazed pieces of the first vanished.
#[test]
fn firings_to_one_cone_count_together_whatever_their_names() {
    let named = |crazed: u32, more: &str| note(&format!("\"age_days\": 30, \"crazed\": {crazed}, {more}"));
    let march = named(5, "\"firing\": \"March\", \"firing_id\": \"aaaa\"");
    let june = named(0, "\"firing\": \"June\", \"firing_id\": \"bbbb\"");
    let unnamed = named(1, "\"firing_id\": \"cccc\"");
    let notes = march.clone() + &june + &unnamed;
    assert_eq!(evidence(&notes).witnesses[0].counted(Edge::Craze), (15, 6));
    let clear = clear();
    for asked in ["6", "cone 6", "march", "JUNE", "bbbb", "cccc"] {
        let found = evidence_of(&clear, &[], &notes, "", Some(asked));
        assert_eq!(found.witnesses[0].counted(Edge::Craze), (15, 6), "{asked}");
    }
    // Its cones missed: a firing of its own, by its name, its id or in full.
    let missed = march.replace("\"cone\": \"6\"", "\"cone\": \"7\", \"missed\": 1");
    let nameless = unnamed.replace("\"cone\": \"6\"", "\"cone\": \"7\", \"missed\": 1");
    let notes = missed + &june + &nameless;
    for (asked, counted) in [
        ("6", (5, 0)),
        ("March", (5, 5)),
        ("aaaa", (5, 5)),
        ("march, cone 7 bent", (5, 5)),
        ("cccc", (5, 1)),
    ] {
        let found = evidence_of(&clear, &[], &notes, "", Some(asked));
        assert_eq!(found.witnesses[0].counted(Edge::Craze), counted, "{asked}");
    }
    // One name, two cones: nobody can say which is meant.
    let (notes, _) = Notes::read(&Source::from_text("n", &(june.replace("\"6\"", "\"9\"") + &june)));
    let error = KnownFirings::of(&notes, &[], &[]).asked("June").unwrap_err();
    assert_eq!(
        (error.code, error.help.as_deref()),
        ("shared-name", Some("say which: cone 9; cone 6"))
    );
}

#[test]
fn a_file_that_names_a_cone_takes_the_one_firing_that_its_notes_name() {
    let spring = note("\"age_days\": 30, \"crazed\": 0, \"firing\": \"spring\", \"apart\": true");
    let slow = note("\"age_days\": 30, \"crazed\": 5, \"firing\": \"slow\", \"apart\": true");
    let found = evidence(&(spring.clone() + &spring));
    assert_eq!(found.witnesses[0].counted(Edge::Craze), (5, 0), "notes alike are one");
    assert!(found.said.contains(&FitSaid::Twins {
        count: 1,
        earlier: 1,
        first: 2
    }));
    assert!(
        found
            .said
            .contains(&FitSaid::ConeOnly(Kiln::Named("spring, cone 6".to_owned())))
    );
    // Several firings at that cone: nobody can say which is meant.
    assert!(evidence(&(spring + &slow)).witnesses.is_empty());
}

#[test]
fn pieces_of_an_older_recipe_are_members_of_the_family() {
    let (today, day) = (clear(), Date::new(2026, 1, 1).unwrap());
    let before = glaze("glaze: Clear\ncone: 6\nparts: { spar: 60, silica: 18, whiting: 22 }\n");
    let versions = format!(
        "{}\n{}\n",
        Version::of(&before, "v1", day).to_line(&|said| format!("{said:?}")),
        Version::of(&today, "v2", day).to_line(&|said| format!("{said:?}"))
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
    assert_eq!(why(&found)[3], Some(WhyNot::UnrecordedVersion("v9".to_owned())));
    assert_eq!(
        old.place.family, own.place.family,
        "an older version is a member of the family"
    );
    assert!((old.place.coordinate - (old.believed.belief.mean - own.believed.belief.mean)).abs() < 1e-12);
    assert!(found.said.contains(&FitSaid::Unversioned(vec!["Clear".to_owned()])));
}

#[test]
fn an_age_nobody_wrote_comes_from_an_earlier_look_at_the_batch() {
    let notes = note("\"batch\": \"1\", \"age_days\": 10, \"crazed\": 0").replace("2026-11-20", "2026-10-01")
        + &note("\"batch\": \"1\", \"crazed\": 0")
        + &note("\"crazed\": 0");
    let found = evidence(&notes);
    let ages: Vec<f64> = found.witnesses[0].looks.iter().map(|look| look.age_days).collect();
    assert_eq!(ages, [10.0, 60.0, 0.0]);
    assert!(found.said.contains(&FitSaid::NoAge(3)));
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
        ladders: &[],
        library: &shelf(),
        firings: &[],
        fluxes: &FluxList::default(),
        settings: &settings,
        learnt: &LearntTables::default(),
    };
    for (printed, mean, sd) in [
        ("", 6.5, 1.2),
        ("expansion: 7.7e-6/K at 20-400 C", 7.4, 0.8),
        ("expansion: 7.0e-6/K at 20-300 C", 7.0 * 1.027 - 0.3, 0.8),
        ("expansion: 77.7e-7", 7.47, 0.8),
        ("kind: earthenware", 7.3, 1.0),
        ("kind: stoneware", 6.2, 0.8),
        ("kind: porcelain", 5.6, 0.7),
    ] {
        let prior = place_in_window(&book, &clear, &clay(printed), &Asking::default())
            .window
            .craze
            .prior();
        assert!(
            (prior.mean - mean).abs() < 1e-9 && prior.sd == sd,
            "{printed}: {prior:?}"
        );
    }
    let dense = |absorption: &str| settings.is_dense(&clay_knowledge(&clay(absorption)).0);
    assert!(dense("absorption: 3") && !dense("absorption: 3.01") && !dense(""));
}

/// Finding: a ladder that was advised, saved and noted was not counted.
#[test]
fn tiles_of_a_saved_ladder_and_named_steps_are_members_of_the_powders_family() {
    let bag = glaze("glaze: Bag\nparts: { plain bag: 100 }\n");
    let tile = |code: &str, crazed: u32| {
        note(&format!("\"age_days\": 30, \"crazed\": {crazed}"))
            .replace("\"glaze\": \"Clear\"", &format!("\"tile\": \"bag/{code}\""))
    };
    let named = note("\"age_days\": 30, \"crazed\": 0").replace("Clear", "Bag + 4 % white clay");
    let odd = note("\"age_days\": 30, \"crazed\": 0").replace("Clear", "Bag + 4 % whiting");
    let notes = [tile("A1", 5), tile("A2", 3), tile("A3", 0), named, odd].concat();
    let found = evidence_of(&bag, std::slice::from_ref(&bag), &notes, "", Some("6"));
    assert!(why(&found).iter().all(Option::is_none), "{:?}", why(&found));
    assert_eq!(found.witnesses[found.own.unwrap()].counted(Edge::Craze), (5, 5));
    let along: Vec<f64> = found.witnesses.iter().map(|witness| witness.place.coordinate).collect();
    assert_eq!(along, [0.0, -3.0, -6.0, -4.0, 0.0]);
    let family = &found.families[found.place.family];
    assert_eq!(
        family.slopes.iter().map(|slope| slope.mean).collect::<Vec<_>>(),
        [Lowering::Silica.slope().mean, Lowering::Kaolin.slope().mean]
    );
    // What whiting does to a powder that nobody tells isn't known: a family of its own.
    assert_ne!(found.witnesses[4].place.family, found.place.family);
    assert_eq!(found.witnesses[4].believed.belief.mean, 6.5);
}

#[test]
fn lots_part_the_looks_of_one_powder_and_a_told_cause_sets_them_aside() {
    let bag = glaze("glaze: Bag\nparts: { plain bag: 100 }\n");
    let of_lot = |lot: &str| {
        note(&format!(
            "\"age_days\": 400, \"crazed\": 0, \"lots\": {{\"plain bag\": \"{lot}\"}}"
        ))
        .replace("Clear", "Bag")
    };
    let chipped = note("\"age_days\": 1, \"crazed\": 4, \"cause\": \"cold shock\"").replace("Clear", "Bag");
    let notes = [of_lot("K7"), of_lot("L2"), of_lot("k7"), chipped].concat();
    let found = evidence_of(&bag, std::slice::from_ref(&bag), &notes, "", Some("6"));
    let lots: Vec<usize> = found.witnesses[0].looks.iter().map(|look| look.lot).collect();
    assert_eq!(lots, [0, 1, 0]);
    assert_eq!(
        found.present_lot, 2,
        "the file names no lot: the next pieces are of another"
    );
    assert!(matches!(why(&found)[3], Some(WhyNot::Cause(_))));
}

#[test]
fn a_firing_that_nothing_names_is_no_firing() {
    let notes = Notes::read(&Source::from_text(
        "n",
        &note("\"age_days\": 30, \"crazed\": 0, \"firing\": \"spring glost\""),
    ))
    .0;
    let known = KnownFirings::of(&notes, &[Arc::new(clear())], &["slow cool".to_owned()]);
    let error = known.asked("con 9").unwrap_err();
    assert_eq!(error.code, "unknown-firing");
    assert!(error.help.unwrap().contains("cone 6; slow cool; spring glost"));
    assert!(known.asked("cone 6").is_ok() && known.asked("Slow  cool").is_ok());
}

/// What a clay's pieces teach is worked once for all glazes asked about, and every answer is
/// the one that it would be alone, to the last bit.
#[test]
fn several_glazes_share_what_a_clay_taught() {
    let clear = clear();
    let other = glaze("glaze: Other\ncone: 6\nparts: { spar: 40, silica: 30, whiting: 20, white clay: 10 }\n");
    let bag = glaze("glaze: Bag\ncone: 6\nparts: { plain bag: 100 }\n");
    let glazes = [&clear, &other, &bag].map(|glaze| Arc::new(glaze.clone()));
    let of = |name: &str, crazed: u32| note(&format!("\"age_days\": 200, \"crazed\": {crazed}")).replace("Clear", name);
    let text = [of("Clear", 0), of("Bag", 2), of("Bag + 3 % silica", 0)].concat();
    let (notes, complaints) = Notes::read(&Source::from_text("notes.jsonl", &text));
    assert_eq!(complaints, []);
    let buff = read_clay(&Source::from_text("c.yaml", "clay: buff\n")).unwrap();
    let asked = |glaze: &Glaze, learnt: &LearntTables| {
        let book = Notebook {
            notes: &notes,
            versions: &Versions::default(),
            glazes: &glazes,
            ladders: &[],
            library: &shelf(),
            firings: &[],
            fluxes: &FluxList::default(),
            settings: &WindowSettings::default(),
            learnt,
        };
        let place = place_in_window(&book, glaze, &buff, &Asking::default());
        let bits = [
            place.chance(Edge::Craze),
            place.chance(Edge::Shiver),
            place.window.craze.mean(),
        ]
        .map(f64::to_bits);
        (place.own().is_some(), bits)
    };
    let shared = LearntTables::default();
    let mut tables = Vec::new();
    for (glaze, looked_at) in [(&clear, true), (&other, false), (&bag, true), (&clear, true)] {
        let together = asked(glaze, &shared);
        assert_eq!(together, asked(glaze, &LearntTables::default()), "{}", glaze.name);
        assert_eq!(together.0, looked_at);
        tables.push(shared.count());
    }
    // Two families of which pieces were looked at; of shivering nobody said anything.
    assert_eq!(tables, [2, 2, 2, 2]);
}

/// All that a list or a script tells of a glaze on a clay, as `fit` has it.
fn fit_told(book: &Notebook<'_>, asked: &Glaze, clay: &str, firing: Option<&Kiln>) -> String {
    let clay = read_clay(&Source::from_text("c.yaml", &format!("clay: {clay}\n"))).unwrap();
    let asking = Asking {
        firing,
        ..Asking::default()
    };
    let fit = fit(book, asked, &clay, &asking, None);
    let evidence = &fit.evidence;
    let rest = (&evidence.kiln, &evidence.said, &*evidence.contradictions);
    format!("{:?} {:?} {rest:?}", [fit.craze, fit.shiver], fit.own())
}

/// The same where what the clay teaches is shared.
fn place_told(book: &Notebook<'_>, asked: &Glaze, clay: &str, firing: Option<&Kiln>) -> String {
    let clay = read_clay(&Source::from_text("c.yaml", &format!("clay: {clay}\n"))).unwrap();
    let asking = Asking {
        firing,
        ..Asking::default()
    };
    let place = place_in_window(book, asked, &clay, &asking);
    let verdicts = Edge::BOTH.map(|edge| Verdict {
        zone: place.zone(edge),
        chance: place.chance(edge),
    });
    let rest = (&place.kiln, &place.said(), &*place.contradictions);
    format!("{verdicts:?} {:?} {rest:?}", place.own())
}

/// Whatever was asked before, over whichever clay, firing, recipe and settings.
#[test]
fn what_is_gathered_once_is_what_is_gathered_alone() {
    let other = glaze("glaze: Other\ncone: 6\nparts: { spar: 40, silica: 30, whiting: 20, white clay: 10 }\n");
    let tenth = glaze("glaze: Clear A\ncone: 10\nparts: { spar: 45, silica: 35, whiting: 20 }\n");
    let bag = glaze("glaze: Bag\nparts: { plain bag: 100 }\n");
    let step = glaze("glaze: Bag + 5 % silica\nparts: { plain bag: 100, silica: 5 }\n");
    let glazes = [clear(), other.clone(), tenth.clone(), bag.clone()].map(Arc::new);
    let changed = glaze("glaze: Other\ncone: 6\nparts: { spar: 60, silica: 30, whiting: 10 }\n");
    let stranger = glaze("glaze: Clear B\ncone: 6\nparts: { spar: 50, silica: 30, whiting: 20 }\n");
    let named = |name: &str, more: &str| note(more).replace("Clear", name);
    let text = [
        named("Clear", "\"batch\": 3, \"age_days\": 180, \"crazed\": 1, \"dunted\": 1"),
        named(
            "Clear",
            "\"batch\": 3, \"age_days\": 30, \"crazed\": 2, \"version\": \"v1\"",
        ),
        named("Clear X", "\"age_days\": 90, \"crazed\": 0"),
        named("Bag", "\"crazed\": 2"),
        named("Bag + 3 % silica", "\"age_days\": 200, \"crazed\": 0"),
        named(
            "Clear A",
            "\"age_days\": 200, \"crazed\": 5, \"firing\": \"slow\", \"thickness_mm\": 0.8",
        ),
        named("Other", "\"age_days\": 9, \"crazed\": 5, \"test\": \"ice\""),
        named("Other", "\"age_days\": 9, \"shivered\": 1").replace("buff", "white"),
        named("Other", "\"age_days\": 9, \"crazed\": 1").replace("\"clay\": \"buff\", ", ""),
    ];
    let (notes, _) = Notes::read(&Source::from_text("notes.jsonl", text.concat().as_str()));
    let (ladders, shelf, versions, fluxes) = (ladders(), shelf(), Versions::default(), FluxList::default());
    let other_settings = WindowSettings {
        held_below: 0.01,
        ..WindowSettings::default()
    };
    let shared = LearntTables::default();
    let slow = Kiln::Named("slow".to_owned());
    let mut seen = 0;
    for round in 0..2 {
        for (asked, settings) in [&glazes[0], &other, &tenth, &changed, &bag, &step, &stranger, &other]
            .into_iter()
            .flat_map(|asked| [(asked, WindowSettings::default()), (asked, other_settings.clone())])
        {
            for (clay, firing) in [("buff", None), ("white", None), ("Buff", Some(&slow)), ("none", None)] {
                let book = |learnt| Notebook {
                    notes: &notes,
                    versions: &versions,
                    glazes: &glazes,
                    ladders: &ladders,
                    library: &shelf,
                    firings: &[],
                    fluxes: &fluxes,
                    settings: &settings,
                    learnt,
                };
                let gathered = |learnt| {
                    let knowledge = ClayKnowledge::default();
                    format!("{:?}", gather(&book(learnt), asked, clay, &knowledge, firing))
                };
                let fresh = [LearntTables::default(), LearntTables::default()];
                let alone = gathered(&fresh[0]);
                assert_eq!(gathered(&shared), alone, "{} on {clay}", asked.name);
                seen += usize::from(alone.contains("Untold"));
                // What to do next takes its time: one noted, one of no recipe, one of a step.
                let some = [&glazes[0].name, &bag.name, &step.name].contains(&&asked.name);
                if round > 0 || clay != "buff" || !some || settings != WindowSettings::default() {
                    continue;
                }
                let whole = fit_told(&book(&fresh[1]), asked, clay, firing);
                assert_eq!(place_told(&book(&shared), asked, clay, firing), whole, "{}", asked.name);
            }
        }
    }
    assert!(seen > 10, "{seen}");
}
