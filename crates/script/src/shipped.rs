//! The scripts that come with Glost; they use the same door as a user's.

/// Names and texts of the shipped scripts.
pub const SHIPPED: [(&str, &str); 53] = [
    ("blend/centroid", include_str!("../../../scripts/blend/centroid.rhai")),
    ("blend/extremes", include_str!("../../../scripts/blend/extremes.rhai")),
    ("blend/first", include_str!("../../../scripts/blend/first.rhai")),
    ("blend/grid", include_str!("../../../scripts/blend/grid.rhai")),
    ("blend/ladder", include_str!("../../../scripts/blend/ladder.rhai")),
    ("blend/line", include_str!("../../../scripts/blend/line.rhai")),
    (
        "blend/quadraxial",
        include_str!("../../../scripts/blend/quadraxial.rhai"),
    ),
    ("blend/series", include_str!("../../../scripts/blend/series.rhai")),
    (
        "blend/silica-alumina",
        include_str!("../../../scripts/blend/silica-alumina.rhai"),
    ),
    ("blend/triaxial", include_str!("../../../scripts/blend/triaxial.rhai")),
    (
        "check/alkali-balance",
        include_str!("../../../scripts/check/alkali-balance.rhai"),
    ),
    ("check/barium", include_str!("../../../scripts/check/barium.rhai")),
    (
        "check/chrome-company",
        include_str!("../../../scripts/check/chrome-company.rhai"),
    ),
    (
        "check/crawling-risk",
        include_str!("../../../scripts/check/crawling-risk.rhai"),
    ),
    (
        "check/fit-on-clay",
        include_str!("../../../scripts/check/fit-on-clay.rhai"),
    ),
    (
        "check/hydrogen-fluoride",
        include_str!("../../../scripts/check/hydrogen-fluoride.rhai"),
    ),
    (
        "check/lead-cadmium",
        include_str!("../../../scripts/check/lead-cadmium.rhai"),
    ),
    (
        "check/matt-or-gloss",
        include_str!("../../../scripts/check/matt-or-gloss.rhai"),
    ),
    (
        "check/metals-of-concern",
        include_str!("../../../scripts/check/metals-of-concern.rhai"),
    ),
    (
        "check/settling-risk",
        include_str!("../../../scripts/check/settling-risk.rhai"),
    ),
    (
        "check/soluble-materials",
        include_str!("../../../scripts/check/soluble-materials.rhai"),
    ),
    ("check/use-flags", include_str!("../../../scripts/check/use-flags.rhai")),
    (
        "fault/cloudiness",
        include_str!("../../../scripts/fault/cloudiness.rhai"),
    ),
    (
        "fault/colour-gone",
        include_str!("../../../scripts/fault/colour-gone.rhai"),
    ),
    ("fault/crawling", include_str!("../../../scripts/fault/crawling.rhai")),
    ("fault/crazing", include_str!("../../../scripts/fault/crazing.rhai")),
    ("fault/dryness", include_str!("../../../scripts/fault/dryness.rhai")),
    (
        "fault/metal-marks",
        include_str!("../../../scripts/fault/metal-marks.rhai"),
    ),
    ("fault/pinholes", include_str!("../../../scripts/fault/pinholes.rhai")),
    ("fault/running", include_str!("../../../scripts/fault/running.rhai")),
    ("fault/shivering", include_str!("../../../scripts/fault/shivering.rhai")),
    ("fault/speckles", include_str!("../../../scripts/fault/speckles.rhai")),
    (
        "limits/alkaline-cone-012-08",
        include_str!("../../../scripts/limits/alkaline-cone-012-08.rhai"),
    ),
    (
        "limits/boric-cone-2-5",
        include_str!("../../../scripts/limits/boric-cone-2-5.rhai"),
    ),
    ("limits/cone-6", include_str!("../../../scripts/limits/cone-6.rhai")),
    (
        "limits/seger-cones",
        include_str!("../../../scripts/limits/seger-cones.rhai"),
    ),
    (
        "limits/stoneware-cone-8-12",
        include_str!("../../../scripts/limits/stoneware-cone-8-12.rhai"),
    ),
    (
        "limits/stull-cone-11",
        include_str!("../../../scripts/limits/stull-cone-11.rhai"),
    ),
    (
        "limits/wide-cone-10",
        include_str!("../../../scripts/limits/wide-cone-10.rhai"),
    ),
    (
        "limits/wide-cone-6",
        include_str!("../../../scripts/limits/wide-cone-6.rhai"),
    ),
    (
        "run/craze-window",
        include_str!("../../../scripts/run/craze-window.rhai"),
    ),
    (
        "run/density-round",
        include_str!("../../../scripts/run/density-round.rhai"),
    ),
    ("run/lab-compare", include_str!("../../../scripts/run/lab-compare.rhai")),
    ("run/new-lot", include_str!("../../../scripts/run/new-lot.rhai")),
    ("run/nice-batch", include_str!("../../../scripts/run/nice-batch.rhai")),
    (
        "run/out-of-stock",
        include_str!("../../../scripts/run/out-of-stock.rhai"),
    ),
    ("run/price-watch", include_str!("../../../scripts/run/price-watch.rhai")),
    (
        "run/same-chemistry",
        include_str!("../../../scripts/run/same-chemistry.rhai"),
    ),
    (
        "run/season-order",
        include_str!("../../../scripts/run/season-order.rhai"),
    ),
    (
        "run/silica-ladder",
        include_str!("../../../scripts/run/silica-ladder.rhai"),
    ),
    ("swap/cheapest", include_str!("../../../scripts/swap/cheapest.rhai")),
    ("swap/closest", include_str!("../../../scripts/swap/closest.rhai")),
    (
        "swap/one-for-one",
        include_str!("../../../scripts/swap/one-for-one.rhai"),
    ),
];
