//! Studios drawn from the model: the window finds the threshold they were drawn with as
//! often as it says.

#[path = "../../chemistry/tests/glass_support/mod.rs"]
mod glass_support;
mod window_support;

use glass_support::Draw;
use glost_core::evidence::window::{ClayKnowledge, WindowSettings};
use window_support::{clay, drawn, learnt};

/// Of 120 draws 90 % +- 8.2 % is three standard deviations: 98 to 118.
#[test]
fn the_true_threshold_lies_in_the_90_percent_band_nine_times_in_ten() {
    let settings = WindowSettings::default();
    let mut draw = Draw(20261128);
    let (mut inside, mut below) = (0, 0);
    for _ in 0..120 {
        let dense = draw.unit() < 0.5;
        let knowledge = clay(if dense { 1.0 } else { 10.0 });
        let line = 6.5 + 1.2 * draw.normal();
        let fall = settings.fall_on(&knowledge);
        let fall = (fall.mean + fall.sd * draw.normal()).max(0.0);
        let count = draw.one_of(&[1, 2, 3]);
        let witnesses = (0..count)
            .map(|_| {
                let expansion = 4.5 + 4.0 * draw.unit();
                let looks = [(draw.one_of(&[0.0, 7.0, 30.0, 180.0, 400.0]), draw.one_of(&[1, 5, 20]))];
                drawn(&mut draw, (line, fall), expansion, &looks, &settings)
            })
            .collect();
        let band = learnt(knowledge, witnesses).craze.band();
        inside += usize::from(band.low <= line && line <= band.high);
        below += usize::from(line < band.median);
    }
    assert!((98..=118).contains(&inside), "{inside} of 120");
    // The median halves them: 60 +- 3 standard deviations of 5.5.
    assert!((44..=76).contains(&below), "{below} of 120 below the median");
}

/// Eight glazes spread from 4.5 to 8.5, five pieces each at three years, on a clay of which
/// nothing is known.
#[test]
fn eight_graded_glazes_halve_the_band() {
    let settings = WindowSettings::default();
    let knowledge = ClayKnowledge::default();
    let prior = learnt(knowledge, Vec::new()).craze.band();
    let mut draw = Draw(7);
    let mut widths: Vec<f64> = (0..30)
        .map(|_| {
            let line = 6.5 + 1.2 * draw.normal();
            let witnesses = (0..8)
                .map(|step| {
                    let expansion = 4.5 + 4.0 * f64::from(step) / 7.0;
                    drawn(&mut draw, (line, 0.8), expansion, &[(1095.0, 5)], &settings)
                })
                .collect();
            let band = learnt(knowledge, witnesses).craze.band();
            band.high - band.low
        })
        .collect();
    widths.sort_by(f64::total_cmp);
    let median = 0.5 * (widths[14] + widths[15]);
    let before = prior.high - prior.low;
    assert!(median <= 0.5 * before, "{median:.3} of {before:.3}");
}
