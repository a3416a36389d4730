//! Folded plates: L and Z, their checks, figures and flat piece.
//!
//! Takes the job and what the scene asks for; gives the piece and what is wrong with it.

use glam::DVec2;

use super::{
    FoldMark, Job, Made, Piece, Profile, common_notes,
    holes::{self, checked, near_folds},
    metals,
    plate::{Flange, Plate},
};
use crate::{
    boat::{
        Lamp,
        bracket::{Folded, FoldedForm, MM, Standing, Turn},
    },
    fitting::{
        Finding,
        data::{Alloy, alloy, alloys, rules},
        fasteners::joint,
    },
    measure::{Degrees, trimmed},
};

fn mm(value: f64) -> String {
    format!("{} mm", trimmed(value, 1))
}

/// Radii are told to the hundredth: a table gives them as shares of a thickness.
fn radius_mm(value: f64) -> String {
    format!("{} mm", trimmed(value, 2))
}

fn degrees(radians: f64) -> f64 {
    radians.to_degrees()
}

pub(super) fn folded(job: &Job, asked: &Folded) -> Made {
    let form = if asked.form == FoldedForm::L { "L" } else { "Z" };
    let mut made = Made { title: format!("{form} of {} {}", mm(asked.sheet), asked.alloy), ..Made::default() };
    let (joint, fastened) = joint(&asked.fixing, asked.sheet);
    made.joint = Some(joint);
    made.fixing = fastened;
    let Some(alloy) = alloy(&asked.alloy) else {
        made.shape.push(unknown_alloy(asked));
        return made;
    };
    made.fixing.extend(metals(("plate", &alloy.metal), &asked.fixing, &asked.screws));
    let Some(least) = alloy.least_radius(asked.sheet) else {
        made.shape.push(too_thick(asked, alloy));
        return made;
    };
    let Some(standing) = Standing::of(job.scene, job.lamp, job.posed, asked) else {
        let what = "what lies below the lamp is a wall to this plate: no foot stands on it";
        made.shape.push(Finding::fault("nothing to stand on", what, "set the lamp upright over the deck"));
        return made;
    };
    // A thin sheet may be folded sharp, but hardly any machine does; no less than the sheet is usual.
    let radius = asked.inside_radius.unwrap_or(least.max(asked.sheet));
    let plate = Plate::new(asked, &standing, radius, asked.k.unwrap_or(alloy.k));
    made.shape.extend(sheet_findings(asked, alloy, radius, least));
    made.shape.extend(standing_findings(job, asked, &standing, &plate));
    made.facts = facts(job, asked, &standing, &plate, least);
    let sound = made.shape.iter().all(|finding| !finding.is_fault());
    if sound {
        lay_flat(&mut made, asked, &plate);
    }
    made.profile = Some(profile(job, &standing, &plate));
    made.notes = notes(asked, &standing);
    made.folded = Some((standing, plate));
    made
}

fn unknown_alloy(asked: &Folded) -> Finding {
    let names: Vec<&str> = alloys().iter().map(|alloy| alloy.name.as_str()).collect();
    let what = format!("nothing is known of how \"{}\" folds", asked.alloy);
    Finding::fault("alloy", what, format!("write one of {}", names.join(", ")))
}

fn too_thick(asked: &Folded, alloy: &Alloy) -> Finding {
    let what =
        format!("the table for {} ends at {}, and the sheet is {}", alloy.name, mm(alloy.thickest()), mm(asked.sheet));
    Finding::fault("sheet", what, format!("take sheet of {} or less", mm(alloy.thickest()))).by(&alloy.source)
}

fn sheet_findings(asked: &Folded, alloy: &Alloy, radius: f64, least: f64) -> Vec<Finding> {
    let rules = rules();
    let mut findings = Vec::new();
    if radius < least - 1e-9 {
        let what = format!(
            "an inside radius of {} is less than the {} that {} of {} takes without cracking",
            radius_mm(radius),
            radius_mm(least),
            alloy.name,
            mm(asked.sheet)
        );
        findings.push(
            Finding::fault("inside radius", what, format!("write `inside_radius: {}`", trimmed(least, 2)))
                .by(&alloy.source),
        );
    }
    for (wrong, figure, word) in [
        (asked.sheet < rules.thin_sheet.value, &rules.thin_sheet, "thinner"),
        (asked.sheet > rules.thick_sheet.value, &rules.thick_sheet, "thicker"),
    ] {
        if wrong {
            let what =
                format!("sheet of {} is {word} than is usual for a bracket ({})", mm(asked.sheet), mm(figure.value));
            findings.push(
                Finding::caution("sheet", what, "take sheet of 1 to 1.5 mm, or be sure of it").by(&figure.source),
            );
        }
    }
    findings
}

fn standing_findings(job: &Job, asked: &Folded, standing: &Standing, plate: &Plate) -> Vec<Finding> {
    let rules = rules();
    let mut findings = Vec::new();
    let height = plate.upright_outside();
    let drop = standing.drop / MM;
    if asked.form == FoldedForm::L && plate.end <= 0.0 {
        let what = format!(
            "an upright of {} ends below the lamp, whose middle stands {} above the foot",
            mm(height),
            mm(drop)
        );
        let mend = format!(
            "leave `upright` out or write {} or more, or lower the lamp in the scene",
            trimmed((drop + 30.0).ceil(), 0)
        );
        findings.push(Finding::fault("upright too short", what, mend));
    }
    for flange in plate.flanges() {
        findings.extend(fold_findings(flange));
    }
    let least = rules.flange.value * plate.thickness + plate.foot.fold.radius;
    let askew = plate.width / 2.0 * plate.foot.skew.tan().abs();
    let flanges = plate.flanges().map(|flange| (flange.on.in_words(), flange.outside));
    for (part, has) in flanges.chain([("upright", height - askew)]) {
        if has < least - 1e-9 {
            let what = format!("the {part} is {} long, and {} is the least that can be folded", mm(has), mm(least));
            let mend = if part == "upright" {
                format!("raise the lamp by {} in the scene", mm((least - has).ceil()))
            } else {
                format!("write `{part}: {}` or more", trimmed(least.ceil(), 0))
            };
            findings.push(Finding::fault("flange too short", what, mend).by(&rules.flange.source));
        }
    }
    if height > rules.tall.value {
        let what = format!("the upright is {} tall, and how stiff it is, nothing here works out", mm(height));
        let mend = "stiffen its edges, take a post instead, or put the lamp on something higher";
        findings.push(Finding::caution("tall", what, mend).by(&rules.tall.source));
    }
    let reach = standing.outward * (standing.way * asked.foot * MM);
    let overhangs = [0.0, 0.5, 1.0].iter().any(|share| !job.scene.seat(standing.origin + reach * *share).aboard);
    if overhangs {
        let what = "the foot stands outboard of the deck's edge, all of it or in part";
        findings.push(Finding::fault(
            "nothing to stand on",
            what,
            "move the lamp inboard, or turn the foot the other way",
        ));
    }
    if standing.seat.on.is_none() && job.scene.own_hull().is_some() {
        let what = "the deck's height and slope are taken from the vessel's figures, not from the mesh of her hull";
        findings.push(Finding::caution("deck", what, "measure both on board before cutting"));
    }
    findings
}

fn fold_findings(flange: &Flange) -> Option<Finding> {
    let rules = rules();
    let (bent, part) = (degrees(flange.fold.angle), flange.on.in_words());
    let (most, sharp) = (&rules.most_fold_degrees, &rules.sharp_fold_degrees);
    if bent > most.value || flange.flat() <= 0.0 {
        let what = format!("the {part} would be bent {} degrees and lie against the upright", trimmed(bent, 1));
        return Some(
            Finding::fault("fold", what, "turn the foot the other way, or set the lamp upright").by(&most.source),
        );
    }
    (bent > sharp.value).then(|| {
        let what = format!(
            "the {part} is bent {} degrees; the least radii are for 90, and a sharper fold needs more",
            trimmed(bent, 1)
        );
        Finding::caution("fold", what, "fold a test strip first, or turn the foot the other way").by(&sharp.source)
    })
}

/// Outline and holes, where both can be.
fn lay_flat(made: &mut Made, asked: &Folded, plate: &Plate) {
    let Some(outline) = plate.outline() else {
        let what = format!("corners of {} do not fit on the plate", mm(plate.corner));
        made.shape.push(Finding::fault("corners", what, "write a smaller `corner`"));
        return;
    };
    if plate.upright_flat() <= 0.0 {
        let what = "the folds meet: nothing of the upright stays flat between them";
        made.shape.push(Finding::fault("flange too short", what, "raise the lamp in the scene"));
        return;
    }
    let holes = holes::of_plate(plate, asked);
    made.shape.extend(checked(&holes, &outline));
    made.shape.extend(near_folds(plate, &holes));
    let mut piece = Piece::plain("plate, flat, seen from the lamp's side", outline, holes);
    piece.folds = plate.flanges().map(|flange| mark(plate, flange)).collect();
    made.pieces = vec![piece];
}

fn mark(plate: &Plate, flange: &Flange) -> FoldMark {
    FoldMark {
        lines: plate.fold_lines(flange),
        from_edge: [0.0, 0.5, 1.0].map(|share| flange.reach() - share * flange.fold.allowance()),
        part: flange.on.in_words(),
        degrees: degrees(flange.fold.angle),
        toward: flange.way > 0.0,
    }
}

fn profile(job: &Job, standing: &Standing, plate: &Plate) -> Profile {
    let from_lamp = (job.posed.centre - standing.origin) / MM;
    let lamp = DVec2::new(from_lamp.dot(standing.outward), from_lamp.dot(standing.up));
    let own = |at: glam::DVec3| DVec2::new(at.dot(standing.outward), at.dot(standing.up));
    let seat = own((standing.seat.point - standing.origin) / MM);
    // The seat's plane cut by the plane of the profile.
    let normal = own(standing.seat.normal);
    let slope = -normal.x / normal.y;
    let outline = plate.profile();
    let ends = |pick: fn(f64, f64) -> f64, start: f64| outline.iter().fold(start, |so_far, at| pick(so_far, at.x));
    let (left, right) = (ends(f64::min, f64::INFINITY) - 5.0, ends(f64::max, f64::NEG_INFINITY).max(lamp.x) + 5.0);
    // The seat's point lies off the plane of the profile by the skew; its height on that plane follows from the normal.
    let aside = (standing.seat.point - standing.origin).dot(standing.across) / MM;
    let across = standing.seat.normal.dot(standing.across);
    let height = seat.y + across * aside / normal.y;
    let held = plate.top.map_or(DVec2::new(0.0, lamp.y), |top| DVec2::new(lamp.x, top.tangent + top.fold.setback()));
    Profile { outline, lamp, held, seat: [left, right].map(|x| DVec2::new(x, height + (x - seat.x) * slope)) }
}

fn facts(job: &Job, asked: &Folded, standing: &Standing, plate: &Plate, least: f64) -> Vec<(&'static str, String)> {
    let place = (standing.seat.point.x, standing.seat.point.y);
    let side = match place.1 {
        off if off.abs() < 0.0005 => "on the centreline".into(),
        off => format!("{} m to {}", trimmed(off.abs(), 3), if off > 0.0 { "port" } else { "starboard" }),
    };
    let on = standing.seat.on.as_ref().map_or_else(|| "the deck".into(), |name| format!("\"{name}\""));
    let slope = degrees(standing.seat.normal.angle_between(glam::DVec3::Z));
    let mut facts = vec![
        (
            "stands on",
            format!(
                "{on}, {} m forward of the transom and {side}, where it slopes {} degrees",
                trimmed(place.0, 3),
                trimmed(slope, 1)
            ),
        ),
        (
            "lamp",
            format!("the middle of its face comes out {} above the foot, as the scene has it", mm(standing.drop / MM)),
        ),
        (
            "sheet",
            format!(
                "{} {}, inside radius {} (the least is {}), K {}",
                mm(asked.sheet),
                asked.alloy,
                radius_mm(plate.foot.fold.radius),
                radius_mm(least),
                trimmed(plate.foot.fold.k, 3)
            ),
        ),
    ];
    facts.extend(plate.flanges().map(|flange| ("fold", fold_words(flange))));
    facts.push((
        "flat",
        format!(
            "{} wide, {} long on the middle line; folded, the upright is {} and the foot {}, measured outside",
            mm(plate.width),
            mm(plate.flat_length()),
            mm(plate.upright_outside()),
            mm(plate.foot.outside)
        ),
    ));
    facts.extend(trim(job, asked).map(|words| ("trim", words)));
    facts
}

fn fold_words(flange: &Flange) -> String {
    let Flange { fold, skew, way, .. } = flange;
    let side = if *way > 0.0 { "toward" } else { "away from" };
    let askew = askew_words(*skew);
    format!(
        "{} bent {} degrees {side} the lamp's side, {askew}; allowance {}, setback {}, deduction {} mm",
        flange.on.in_words(),
        trimmed(degrees(fold.angle), 1),
        trimmed(fold.allowance(), 2),
        trimmed(fold.setback(), 2),
        trimmed(fold.deduction(), 2)
    )
}

/// "square across", "askew by 3.1 degrees, rising to the right".
fn askew_words(skew: f64) -> String {
    match degrees(skew) {
        skew if skew.abs() < 0.05 => "square across".into(),
        skew => {
            let way = if skew > 0.0 { "rising" } else { "falling" };
            format!("askew by {} degrees, {way} to the right", trimmed(skew.abs(), 1))
        }
    }
}

/// How she trims in use, and what would set the lamp upright in the middle of that.
fn trim(job: &Job, asked: &Folded) -> Option<String> {
    let (least, most) = job.scene.conditions.trim;
    let middle = (least.0 + most.0) / 2.0;
    if middle.abs() < 0.05 {
        return None;
    }
    let lamp = Lamp { tilt: Degrees(job.lamp.tilt.0 - middle), ..job.lamp.clone() };
    let posed = job.scene.posed_lamp(&lamp, &crate::boat::Pose::default());
    let standing = Standing::of(job.scene, &lamp, &posed, asked)?;
    Some(format!(
        "she runs at {} to {} degrees bow up, and the lamp leans with her; to have it upright in the middle of that write \
         `tilt: {}`, and the foot is bent {} degrees, {}",
        trimmed(least.0, 1),
        trimmed(most.0, 1),
        trimmed(lamp.tilt.0, 1),
        trimmed(degrees(standing.bend), 1),
        askew_words(standing.skew)
    ))
}

fn notes(asked: &Folded, standing: &Standing) -> Vec<String> {
    let mut notes = common_notes();
    notes.push("Fold across the grain of the sheet where it can be chosen, and fold a test strip first: K differs from one machine to the next.".into());
    if asked.form == FoldedForm::L {
        notes.push(
            "Set the upright parallel to the centreline or square to it, as the lamp asks, and never by the gunwale."
                .into(),
        );
    }
    if asked.turn == Turn::Under && asked.form == FoldedForm::L {
        notes.push("The foot lies under the lamp, in the way of light that goes steeply down.".into());
    }
    if standing.seat.on.is_none() {
        notes.push("Measure the deck's slope on board: the scene's deck is a smooth shape.".into());
    }
    notes
}
