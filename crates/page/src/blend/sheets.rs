//! The whole set on paper: map, mixing sheet, labels, result sheet, answer key.

use glost_core::blend::{Way, same_base};

use super::drawing::MapOf;
use super::labels::shares_words;
use super::{BlendPage, class, labels};
use crate::svg::FILE_HEAD;
use crate::{number, sheet};

impl BlendPage<'_> {
    /// The map as a file of its own.
    pub fn map_svg(&self) -> String {
        format!("{FILE_HEAD}{}", self.drawing())
    }

    /// The set to print; `name` is the saved plan's.
    pub fn html(&self, name: Option<&str>) -> String {
        let title = name.unwrap_or(&self.plan.kind);
        let mut body = self.html_map(title);
        body.push_str(&self.html_mixing(title));
        if let Some(students) = self.students {
            body.push_str(&self.html_class(students));
        }
        body.push_str(&self.html_labels(title));
        body.push_str(&self.html_results());
        body.push_str(&self.html_key(title));
        sheet::document(title, &body)
    }

    fn drawing(&self) -> String {
        let plan = self.plan;
        let map = MapOf {
            shape: plan.shape,
            rows: &plan.rows,
            shares: plan.tiles.iter().map(|tile| tile.shares.as_slice()).collect(),
            ends: &plan.ends,
            marks: plan
                .tiles
                .iter()
                .map(|tile| (tile.code.clone(), shares_words(&tile.shares)))
                .collect(),
        };
        map.svg()
    }

    fn html_map(&self, title: &str) -> String {
        let mut body = section(title);
        body.push_str(&sheet::blanks(&["Date", "By", "Clay"]));
        body.push_str(&self.drawing());
        body.push_str(&sheet::paragraph(&self.headline()));
        body.push_str("</section>\n");
        body
    }

    fn html_mixing(&self, title: &str) -> String {
        let mut body = section(&format!("{title}: mixing"));
        for caution in &self.plan.handling {
            body.push_str(&format!("<p class=\"small\">{}.</p>\n", sheet::escape(caution)));
        }
        for (index, end) in self.plan.ends.iter().enumerate() {
            body.push_str(&format!(
                "<p class=\"small\">End {}: <b>{}</b></p>\n",
                index + 1,
                sheet::escape(end)
            ));
        }
        for step in self.steps() {
            body.push_str(&sheet::tick(&step));
        }
        body.push_str(&if self.plan.way == Way::Dry {
            self.html_grams()
        } else {
            self.html_volumes()
        });
        if self.plan.way != Way::Dry {
            for sentence in self.convention() {
                body.push_str(&format!("<p class=\"small\">{}</p>\n", sheet::escape(&sentence)));
            }
        }
        body.push_str("</section>\n");
        body
    }

    /// Millilitres, in the order that the ends are drawn.
    fn html_volumes(&self) -> String {
        let plan = self.plan;
        let mut body = String::from("<table>\n<tr><th>tile</th>");
        for end in &plan.draw_order {
            body.push_str(&format!("<th>ml of {}</th>", end + 1));
        }
        body.push_str("</tr>\n");
        for tile in &plan.tiles {
            body.push_str(&format!("<tr><td><b>{}</b></td>", sheet::escape(&tile.code)));
            for end in &plan.draw_order {
                let volume = tile
                    .drawn
                    .as_ref()
                    .and_then(|drawn| drawn.get(*end))
                    .copied()
                    .unwrap_or(0.0);
                body.push_str(&if volume > 0.0 {
                    format!("<td><span class=\"box\"></span>{}</td>", number::plain(volume))
                } else {
                    "<td></td>".to_owned()
                });
            }
            body.push_str("</tr>\n");
        }
        body.push_str("</table>\n");
        body
    }

    /// Grams, tile by tile, pre-mixes in place of what they hold.
    fn html_grams(&self) -> String {
        let mut body = String::from("<table>\n");
        for tile in &self.plan.tiles {
            let own = |name: &str| -> Option<String> {
                let premixes = &self.plan.premixes;
                let used = |premix: &glost_core::blend::TilePremix| {
                    premix.uses.iter().find(|own| own.code == tile.code).cloned()
                };
                if let Some(premix) = premixes.iter().find(|premix| premix.material == name)
                    && let Some(own) = used(premix)
                {
                    return Some(format!(
                        "{:.0} % pre-mix of {name} {} g",
                        premix.percent,
                        number::grams(own.premix_grams, self.step_grams)
                    ));
                }
                let carried = premixes.iter().filter(|premix| premix.carrier == name).find_map(used)?;
                Some(format!(
                    "{name} {} g",
                    number::grams(carried.carrier_grams, self.step_grams)
                ))
            };
            let lines: Vec<String> = tile
                .grams
                .iter()
                .map(|line| {
                    let usual = || format!("{} {} g", line.material, number::grams(line.grams, self.step_grams));
                    let text = own(&line.material).unwrap_or_else(usual);
                    format!(
                        "<span style=\"white-space: nowrap\"><span class=\"box\"></span>{}</span>",
                        sheet::escape(&text)
                    )
                })
                .collect();
            body.push_str(&format!(
                "<tr><td><b>{}</b></td><td>{}</td></tr>\n",
                sheet::escape(&tile.code),
                lines.join(" &nbsp; ")
            ));
        }
        body.push_str("</table>\n");
        body
    }

    fn html_class(&self, students: usize) -> String {
        let mut body = section("Who makes which");
        body.push_str("<table>\n<tr><th>name</th><th>tiles</th></tr>\n");
        for (index, codes) in class::shares(self.plan, students).iter().enumerate() {
            body.push_str(&format!(
                "<tr><td>{} <span class=\"blank\"></span></td><td>{}</td></tr>\n",
                index + 1,
                codes
                    .iter()
                    .map(|code| format!("<span class=\"box\"></span>{}", sheet::escape(code)))
                    .collect::<Vec<_>>()
                    .join(" &nbsp; ")
            ));
        }
        body.push_str("</table>\n</section>\n");
        body
    }

    fn html_labels(&self, title: &str) -> String {
        let mut body = String::new();
        for drawing in labels::sheets(self.plan, title) {
            body.push_str("<section class=\"ticket\">\n<p class=\"small\">Scratch or paint the code onto the back before glazing: paper burns. These go on after the firing, and onto the cups.</p>\n");
            body.push_str(&drawing);
            body.push_str("</section>\n");
        }
        body
    }

    /// What each tile is; where all have one base, that once and the additions.
    fn html_key(&self, title: &str) -> String {
        let plan = self.plan;
        let mut body = section(&format!("{title}: answer key"));
        let one_base = self
            .ends
            .split_first()
            .filter(|(first, others)| others.iter().all(|end| same_base(first, end)));
        if let Some((first, _)) = one_base {
            let base: Vec<String> = first
                .base
                .iter()
                .map(|portion| format!("{} {}", portion.material.name, number::plain(portion.percent)))
                .collect();
            body.push_str(&sheet::paragraph(&format!(
                "Base of all tiles: {}. On top, per cent of it:",
                base.join(", ")
            )));
        }
        body.push_str("<table class=\"small\">\n<tr><th>tile</th><th>shares</th><th>recipe</th><th>known</th></tr>\n");
        for tile in &plan.tiles {
            let base = tile.glaze.base.iter().filter(|_| one_base.is_none());
            let base = base.filter(|portion| portion.percent > 0.0);
            let on_top = tile.glaze.additions.iter().filter(|portion| portion.percent > 0.0);
            let mut recipe: Vec<String> = base
                .map(|portion| format!("{} {}", portion.material.name, number::parts(portion.percent)))
                .collect();
            recipe.extend(
                on_top.map(|portion| format!("+ {} {}", portion.material.name, number::percent(portion.percent))),
            );
            if recipe.is_empty() {
                recipe.push("the base alone".to_owned());
            }
            let flag = if plan.lab.iter().any(|own| own.code == tile.code) {
                "not tested for food contact"
            } else {
                ""
            };
            body.push_str(&format!(
                "<tr><td><b>{}</b></td><td>{}</td><td>{}</td><td>{flag}</td></tr>\n",
                sheet::escape(&tile.code),
                shares_words(&tile.shares),
                sheet::escape(&recipe.join(", "))
            ));
        }
        body.push_str("</table>\n</section>\n");
        body
    }
}

fn section(title: &str) -> String {
    format!("<section class=\"ticket\">\n<h1>{}</h1>\n", sheet::escape(title))
}
