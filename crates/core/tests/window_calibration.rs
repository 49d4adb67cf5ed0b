//! Studios drawn from the model: the window finds the threshold they were drawn with as
//! often as it says.

#[path = "../../chemistry/tests/glass_support/mod.rs"]
mod glass_support;
mod window_support;

use glass_support::Draw;
use glost_core::evidence::window::{ClayKnowledge, Window, WindowSettings};
use window_support::drawn;

/// Of 500 draws 90 % +- 4 % is three standard deviations: 86 to 94 %.
#[test]
fn the_true_threshold_lies_in_the_90_percent_band_nine_times_in_ten() {
    let settings = WindowSettings::default();
    let mut draw = Draw(20261125);
    let (mut inside, mut below) = (0, 0);
    for _ in 0..500 {
        let dense = draw.unit() < 0.5;
        let own_number = draw.unit() < 0.3;
        let threshold = 6.5 + 1.2 * draw.normal();
        let clay = ClayKnowledge {
            // A clay's number that the threshold lies 0.3 +- 0.8 below, as the prior has it.
            expansion_per_million_per_kelvin: own_number.then_some(5.0 + 3.0 * draw.unit()),
            absorption_percent: Some(if dense { 1.0 } else { 10.0 }),
        };
        let threshold = match clay.expansion_per_million_per_kelvin {
            Some(expansion) => expansion - 0.3 + 0.8 * draw.normal(),
            None => threshold,
        };
        let count = draw.one_of(&[1, 2, 4, 6]);
        let witnesses = (0..count)
            .map(|_| {
                let expansion = 4.5 + 4.0 * draw.unit();
                let looks = [(draw.one_of(&[0.0, 7.0, 30.0, 180.0, 400.0]), draw.one_of(&[1, 5, 20]))];
                drawn(
                    &mut draw,
                    threshold,
                    expansion,
                    settings.ageing_on(&clay),
                    &looks,
                    &settings,
                )
            })
            .collect();
        let band = Window::learn(&settings, clay, witnesses).craze.band();
        inside += usize::from(band.low <= threshold && threshold <= band.high);
        below += usize::from(threshold < band.median);
    }
    assert!((430..=470).contains(&inside), "{inside} of 500");
    // The median halves them: 250 +- 3 standard deviations of 11.2.
    assert!((216..=284).contains(&below), "{below} of 500 below the median");
}

/// Eight glazes spread from 4.5 to 8.5, five pieces each at 180 days, on a clay of which
/// nothing is known.
#[test]
fn eight_graded_glazes_halve_the_band() {
    let settings = WindowSettings::default();
    let clay = ClayKnowledge::default();
    let prior = Window::learn(&settings, clay, Vec::new()).craze.band();
    let mut draw = Draw(7);
    let mut widths: Vec<f64> = (0..200)
        .map(|_| {
            let threshold = 6.5 + 1.2 * draw.normal();
            let witnesses = (0..8)
                .map(|step| {
                    let expansion = 4.5 + 4.0 * f64::from(step) / 7.0;
                    let ageing = settings.ageing_on(&clay);
                    drawn(&mut draw, threshold, expansion, ageing, &[(180.0, 5)], &settings)
                })
                .collect();
            let band = Window::learn(&settings, clay, witnesses).craze.band();
            band.high - band.low
        })
        .collect();
    widths.sort_by(f64::total_cmp);
    let median = 0.5 * (widths[99] + widths[100]);
    let before = prior.high - prior.low;
    assert!(median <= 0.5 * before, "{median:.3} of {before:.3}");
}
