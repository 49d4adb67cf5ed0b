//! A bucket with too much or too little of one material: what brings it back.

use super::survey::Survey;

/// What is known of the material that went wrong.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Held {
    /// Grams of it in the bucket as surveyed, part of its dry powder.
    pub grams: f64,
    /// What there should be, per cent of the base it is counted on.
    pub wanted_percent: f64,
    /// Share of the other powder that is base, 0 to 1 (less than 1 where other
    /// additions are in).
    pub base_share: f64,
}

/// What is in the bucket and what brings it back.
#[derive(Debug, Clone, PartialEq)]
pub struct Rescue {
    /// Per cent of the base that it is now.
    pub percent: f64,
    /// All powder but this material, in grams.
    pub other_grams: f64,
    /// Grams of it to add, where there is too little.
    pub add_grams: f64,
    /// Grams of everything else to add, where there is too much.
    pub others_to_add_grams: f64,
    /// Water to add with that, at the bucket's own water to powder, in millilitres.
    pub water_to_add_millilitres: f64,
    /// Volume then, in millilitres.
    pub volume_millilitres: f64,
}

/// Brings one material back to its share. `None` where the material is more than
/// all the powder there is, or a figure is no share.
///
/// `powder_density` in g/ml, of what is added.
pub fn rescue(survey: &Survey, held: Held, powder_density: f64) -> Option<Rescue> {
    let other_grams = survey.dry_grams - held.grams;
    let usable = held.grams >= 0.0 && other_grams > 0.0 && held.wanted_percent > 0.0 && held.base_share > 0.0;
    if !usable {
        return None;
    }
    let base = other_grams * held.base_share;
    let percent = 100.0 * held.grams / base;
    let wanted_base = held.grams / (held.wanted_percent / 100.0);
    let others_to_add_grams = ((wanted_base - base) / held.base_share).max(0.0);
    let add_grams = (held.wanted_percent / 100.0 * base - held.grams).max(0.0);
    let water_to_add_millilitres = others_to_add_grams * survey.water_grams() / survey.dry_grams;
    Some(Rescue {
        percent,
        other_grams,
        add_grams,
        others_to_add_grams,
        water_to_add_millilitres,
        volume_millilitres: survey.volume_millilitres
            + water_to_add_millilitres
            + (others_to_add_grams + add_grams) / powder_density,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::workshop::bench::near;

    const BUCKET: Survey = Survey {
        density: 1.45,
        slurry_grams: 2000.0,
        volume_millilitres: 1380.0,
        dry_grams: 1100.0,
        dry_grams_low: 1080.0,
        dry_grams_high: 1120.0,
    };

    fn held(grams: f64, wanted_percent: f64, base_share: f64) -> Held {
        Held {
            grams,
            wanted_percent,
            base_share,
        }
    }

    /// 100 g of tin in 1000 g of others, all base: 10 % where 8 are wanted. 100 g are 8 % of 1250:
    /// 250 g more, with 900 / 1100 of their weight in water.
    #[test]
    fn too_much_takes_more_of_everything_else() {
        let found = rescue(&BUCKET, held(100.0, 8.0, 1.0), 2.5).unwrap();
        near(found.percent, 10.0, "now");
        near(found.other_grams, 1000.0, "others");
        near(found.others_to_add_grams, 250.0, "others to add");
        near(found.water_to_add_millilitres, 250.0 * 900.0 / 1100.0, "water");
        near(
            found.volume_millilitres,
            1380.0 + 250.0 * 900.0 / 1100.0 + 100.0,
            "volume",
        );
        assert_eq!(found.add_grams, 0.0);
    }

    /// Of 1000 g of others 80 % are base: 40 g of tin are 5 % of 800, 6 % are 48 g.
    #[test]
    fn too_little_takes_more_of_it() {
        let bucket = Survey {
            dry_grams: 1040.0,
            ..BUCKET
        };
        let found = rescue(&bucket, held(40.0, 6.0, 0.8), 2.5).unwrap();
        near(found.percent, 5.0, "now");
        near(found.add_grams, 8.0, "to add");
        assert_eq!((found.others_to_add_grams, found.water_to_add_millilitres), (0.0, 0.0));
        near(found.volume_millilitres, 1380.0 + 8.0 / 2.5, "volume");
        // 64 g are 8 %, and 6 % of 1066.67 g of base, 266.67 more: 333.33 g of all others.
        let too_much = rescue(
            &Survey {
                dry_grams: 1064.0,
                ..BUCKET
            },
            held(64.0, 6.0, 0.8),
            2.5,
        )
        .unwrap();
        near(
            too_much.others_to_add_grams,
            (64.0 / 0.06 - 800.0) / 0.8,
            "others to add",
        );
    }

    #[test]
    fn what_is_no_share_is_refused() {
        assert!(rescue(&BUCKET, held(0.0, 8.0, 1.0), 2.5).is_some());
        for no in [
            held(-1.0, 8.0, 1.0),
            held(1100.0, 8.0, 1.0),
            held(10.0, 0.0, 1.0),
            held(10.0, 8.0, 0.0),
        ] {
            assert_eq!(rescue(&BUCKET, no, 2.5), None, "{no:?}");
        }
    }
}
