//! What a whole studio's grades teach, on simulated studios whose surface is known.

use glost_chemistry::oxides::{Oxide, OxideMoles};
use glost_core::tiles::expect::{Graded, Made, Studio, learn};

/// Numbers that are the same every time.
struct Numbers(u64);

impl Numbers {
    fn unit(&mut self) -> f64 {
        self.0 = self
            .0
            .wrapping_mul(6_364_136_223_846_793_005)
            .wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 11) as f64 / (1_u64 << 53) as f64
    }

    fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * self.unit()
    }

    fn normal(&mut self) -> f64 {
        let (one, other) = (self.unit().max(1e-12), self.unit());
        (-2.0 * one.ln()).sqrt() * (std::f64::consts::TAU * other).cos()
    }
}

/// A glaze somewhere in a studio's range, fluxes = 1.
fn chemistry(numbers: &mut Numbers) -> Vec<(Oxide, f64)> {
    let boron = (numbers.between(-0.15, 0.35)).max(0.0);
    let magnesia = (numbers.between(-0.1, 0.3)).max(0.0);
    let alkali = numbers.between(0.15, 0.45);
    let lime = (1.0 - magnesia - alkali).max(0.05);
    vec![
        (Oxide::SiO2, numbers.between(2.2, 4.8)),
        (Oxide::Al2O3, numbers.between(0.25, 0.65)),
        (Oxide::B2O3, boron),
        (Oxide::MgO, magnesia),
        (Oxide::CaO, lime),
        (Oxide::K2O, 0.5 * alkali),
        (Oxide::Na2O, 0.5 * alkali),
        (Oxide::Fe2O3, (numbers.between(-0.05, 0.08)).max(0.0)),
    ]
}

/// The known surface: how glossy such a glaze is, 0 to 5.
fn gloss(unity: &OxideMoles) -> f64 {
    let ratio = unity.get(Oxide::SiO2) / unity.get(Oxide::Al2O3);
    let bright = 2.5 + 1.8 * ((ratio - 7.0) / 2.5).tanh() + 3.0 * unity.get(Oxide::B2O3);
    let matt = 4.0 * (unity.get(Oxide::MgO) - 0.12).max(0.0) + 6.0 * unity.get(Oxide::Fe2O3) * unity.get(Oxide::CaO);
    (bright - matt).clamp(0.0, 5.0)
}

/// Fifteen plans of ten tiles each, a plan's tiles along a line between two glazes, graded
/// once with a scatter of half a grade.
fn studio(seed: u64) -> (Vec<Graded>, Vec<f64>) {
    let mut numbers = Numbers(seed);
    let (mut things, mut truths) = (Vec::new(), Vec::new());
    for plan in 0..15 {
        let (one, other) = (chemistry(&mut numbers), chemistry(&mut numbers));
        for tile in 0..10 {
            let share = tile as f64 / 9.0;
            let both = one.iter().zip(&other);
            let moles = both.map(|((oxide, a), (_, b))| (*oxide, a + share * (b - a)));
            let unity = OxideMoles::new(moles).unwrap();
            let truth = gloss(&unity);
            truths.push(truth);
            things.push(Graded {
                made: Made {
                    name: format!("plan {plan}/{tile}"),
                    family: format!("plan {plan}"),
                    unity,
                    cone: Some("6".to_owned()),
                    clay: Some(if plan % 2 == 0 { "buff" } else { "white" }.to_owned()),
                    coat_mm: None,
                },
                grades: vec![((truth + 0.5 * numbers.normal()).clamp(0.0, 5.0), things.len() + 1)],
            });
        }
    }
    (things, truths)
}

fn learnt(things: Vec<Graded>) -> Studio {
    learn(things).unwrap_or_else(|| panic!("there are grades"))
}

#[test]
fn grades_that_were_left_out_are_told_better_than_by_the_plain_mean() {
    let (mut covered, mut grades) = (0.0, 0.0);
    for seed in 0..3 {
        let (things, _) = studio(100 + seed);
        let whole = learnt(things).whole();
        let alone = &whole.by_thing;
        assert!(alone.error < 0.7 * alone.plain, "{alone:?}");
        let glaze = whole.by_glaze.as_ref().unwrap_or_else(|| panic!("there are several"));
        assert!(glaze.error < 0.7 * glaze.plain, "a whole plan left out: {glaze:?}");
        assert!((0.40..=0.62).contains(&whole.scatter), "{}", whole.scatter);
        covered += glaze.in_band * glaze.grades as f64 + alone.in_band * alone.grades as f64;
        grades += (glaze.grades + alone.grades) as f64;
        println!("{alone:?}\n{glaze:?} {}", whole.scatter);
    }
    let share = covered / grades;
    assert!((0.85..=0.95).contains(&share), "{share}");
}

#[test]
fn glazes_that_nobody_made_are_told_with_a_band_that_holds() {
    let (mut in_tile, mut in_level, mut count, mut square, mut plain) = (0, 0, 0, 0.0, 0.0);
    for seed in 0..3 {
        let (things, truths) = studio(200 + seed);
        let mean = truths.iter().sum::<f64>() / truths.len() as f64;
        let learnt = learnt(things);
        let mut numbers = Numbers(900 + seed);
        for _ in 0..60 {
            let unity = OxideMoles::new(chemistry(&mut numbers)).unwrap();
            let truth = gloss(&unity);
            let grade = (truth + 0.5 * numbers.normal()).clamp(0.0, 5.0);
            let made = Made {
                name: "new".to_owned(),
                family: "new".to_owned(),
                unity,
                cone: Some("6".to_owned()),
                clay: Some("buff".to_owned()),
                coat_mm: None,
            };
            let told = learnt.expect(&made);
            assert!(told.tile.0 <= told.value && told.value <= told.tile.1);
            assert_eq!(told.nearest.len(), 5);
            in_tile += usize::from((told.tile.0..=told.tile.1).contains(&grade));
            in_level += usize::from((told.level.0..=told.level.1).contains(&truth));
            square += (told.value - grade).powi(2);
            plain += (mean - grade).powi(2);
            count += 1;
        }
    }
    let share = |inside: usize| inside as f64 / count as f64;
    println!(
        "{} {} {} {}",
        share(in_tile),
        share(in_level),
        (square / count as f64).sqrt(),
        (plain / count as f64).sqrt()
    );
    assert!((0.85..=0.96).contains(&share(in_tile)), "{}", share(in_tile));
    assert!((0.85..=0.97).contains(&share(in_level)), "{}", share(in_level));
    assert!(square.sqrt() < 0.7 * plain.sqrt());
}

#[test]
fn far_chemistry_is_known_as_far() {
    let (things, _) = studio(300);
    let near = things[42].made.clone();
    let learnt = learnt(things);
    let told = learnt.expect(&near);
    assert!(told.like && told.unlike.is_empty(), "{told:?}");
    assert_eq!(told.nearest[0].made.name, near.name);
    let zinc = Made {
        unity: OxideMoles::new([
            (Oxide::ZnO, 0.6),
            (Oxide::K2O, 0.4),
            (Oxide::Al2O3, 0.1),
            (Oxide::SiO2, 1.6),
        ])
        .unwrap(),
        ..near
    };
    let far = learnt.expect(&zinc);
    assert!(!far.like, "{far:?}");
    assert!(far.unlike.iter().any(|unlike| unlike.oxides == [Oxide::ZnO]), "{far:?}");
    assert!(
        far.level.1 - far.level.0 > told.level.1 - told.level.0,
        "less is known of it"
    );
}

#[test]
fn one_grade_and_grades_all_alike_still_have_a_band() {
    let (mut things, _) = studio(400);
    things.iter_mut().for_each(|thing| thing.grades[0].0 = 3.0);
    let made = things[0].made.clone();
    let alike = learnt(things.clone());
    assert_eq!(alike.all_alike(), Some(3.0));
    let told = alike.expect(&made);
    assert!((told.value - 3.0).abs() < 0.01 && told.tile.1 > told.tile.0, "{told:?}");
    things.truncate(1);
    let single = learnt(things).expect(&made);
    assert!(single.tile.1 - single.tile.0 > 1.0, "{single:?}");
}

#[test]
fn two_thousand_grades_are_gathered_about_a_bounded_number_of_places() {
    let (mut things, mut lines) = (Vec::new(), 0);
    for seed in 0..5 {
        let (mut more, _) = studio(500 + seed);
        for thing in &mut more {
            thing.made.name = format!("{seed} {}", thing.made.name);
            let first = thing.grades[0].0;
            lines += 1;
            thing.grades = (0..3)
                .map(|time| ((first + 0.2 * f64::from(time)).min(5.0), lines))
                .collect();
        }
        things.extend(more);
    }
    let learnt = learnt(things);
    assert_eq!(learnt.things().len(), 750);
    assert!(learnt.places() <= 250);
    let whole = learnt.whole();
    assert_eq!(whole.by_thing.grades, 2250);
    assert!(whole.by_thing.error < whole.by_thing.plain);
}
