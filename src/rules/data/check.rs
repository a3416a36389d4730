//! What no set of rules may lack or say.
//!
//! Takes a whole set; gives everything in it that makes no sense, each with the row or field it is about. Must never
//! know where in a file that stands.

use super::{
    Band, LightKind, Rules, clauses,
    place::{Doubt, Path},
};
use crate::{
    boat::Status,
    light::Colour,
    measure::{NauticalMiles, trimmed},
};

/// Everything that makes no sense.
pub(super) fn doubts(rules: &Rules) -> Vec<Doubt> {
    let mut check = Check { rules, doubts: Vec::new() };
    check.names();
    check.sources();
    check.sectors();
    check.bands();
    check.intensities();
    check.ranges();
    check.gaps();
    check.displays();
    check.edges();
    check.limits();
    check.figures();
    check.waiver();
    check.doubts.extend(clauses::doubts(rules));
    check.doubts
}

struct Check<'r> {
    rules: &'r Rules,
    doubts: Vec<Doubt>,
}

/// Bands end somewhere for the sake of asking whether they are covered; no vessel here is this long, metres.
const LONGEST: f64 = 1e4;

impl Check<'_> {
    fn doubt(&mut self, path: Path, what: impl Into<String>, mend: impl Into<String>) {
        self.doubts.push(Doubt { path, what: what.into(), mend: mend.into() });
    }

    fn ask(&mut self, sound: bool, path: Path, what: impl Into<String>, mend: impl Into<String>) {
        if !sound {
            self.doubt(path, what, mend);
        }
    }

    fn names(&mut self) {
        let name = &self.rules.name;
        self.ask(
            !name.trim().is_empty(),
            Path::top("name"),
            "the name is empty",
            "name the set; every output prints it",
        );
        let taken = self.rules.base.is_some_and(|base| base.name.eq_ignore_ascii_case(name));
        let what = format!("a set made from \"{name}\" cannot bear its name");
        self.ask(!taken, Path::top("name"), what, "give it a name of its own; every output prints it");
    }

    /// Every row says where it was read.
    fn sources(&mut self) {
        let rules = self.rules;
        for (path, source) in sources(rules) {
            let mend = "say where this was read, or that it is from memory or your own";
            self.ask(!source.trim().is_empty(), path, "the source is empty", mend);
        }
    }

    fn sectors(&mut self) {
        for (index, row) in self.rules.sectors.iter().enumerate() {
            let at = || Path::row("sectors", index);
            for (name, degrees) in [("from", row.from), ("to", row.to)] {
                let what =
                    format!("{degrees} degrees is no edge that the sector of a {} can have", row.light.in_words());
                let mend = "edges are 0 to 360 degrees clockwise from right ahead";
                self.ask((0.0..=360.0).contains(&degrees), at().field(name), what, mend);
            }
            let none = row.from == row.to || row.from == 360.0 && row.to == 0.0;
            let what =
                format!("the sector of a {} from {} to {} degrees is none", row.light.in_words(), row.from, row.to);
            self.ask(!none, at().field("from"), what, "all round is `from: 0, to: 360`");
            let what = format!("a sector cannot be {} degrees wider on each side", row.wider);
            self.ask((0.0..=90.0).contains(&row.wider), at().field("wider"), what, "0 to 90 degrees are possible");
            let twice = self.rules.sectors[..index].iter().any(|other| other.light == row.light);
            let what = format!("the {} is given twice", row.light.in_words());
            self.ask(!twice, at().field("light"), what, "keep one of the two rows");
            let side = match row.light {
                LightKind::PortSidelight => Some((Colour::Red, "`Red`: port is red")),
                LightKind::StarboardSidelight => Some((Colour::Green, "`Green`: starboard is green")),
                _ => None,
            };
            if let Some((colour, words)) = side {
                let what = format!("a {} cannot be {}", row.light.in_words(), row.colour);
                let mend = format!("write {words} in every set of rules");
                self.ask(row.colour == colour, at().field("colour"), what, mend);
            }
            let coloured = self.rules.colours.iter().any(|colour| colour.colour == row.colour);
            let what = format!("`colours` has no row for {}, which a {} shows", row.colour, row.light.in_words());
            self.ask(coloured, at().field("colour"), what, "add a row with its corners to `colours`");
        }
        for (index, row) in self.rules.colours.iter().enumerate() {
            let twice = self.rules.colours[..index].iter().any(|other| other.colour == row.colour);
            let at = Path::row("colours", index).field("colour");
            self.ask(!twice, at, format!("{} is given twice", row.colour), "keep one of the two rows");
        }
    }

    /// Bands of length that hold no length, or lengths that two rows of ranges hold.
    fn bands(&mut self) {
        for (path, band) in bands(self.rules) {
            let what = format!("the length band from {} to under {} m holds no length", band.from, band.under);
            self.ask(
                0.0 <= band.from && band.from < band.under,
                path,
                what,
                "`from` must be nought or more and less than `under`",
            );
        }
        let ranges = &self.rules.ranges;
        for (index, row) in ranges.iter().enumerate() {
            if let Some(other) = ranges[..index].iter().find(|other| other.length.meets(row.length)) {
                let (band, first) = (row.length.in_words(), other.length.in_words());
                let what = format!("the length band \"{band}\" overlaps that of another row, \"{first}\"");
                self.doubt(Path::row("ranges", index).field("length"), what, "end one band where the other begins");
            }
        }
    }

    fn intensities(&mut self) {
        for (index, row) in self.rules.intensities.iter().enumerate() {
            let positive = |figure: f64| figure > 0.0 && figure.is_finite();
            for (name, figure) in [("range", row.range), ("candela", row.candela)] {
                let what = format!("a `{name}` of {figure} is impossible");
                self.ask(
                    positive(figure),
                    Path::row("intensities", index).field(name),
                    what,
                    "write a number above nought",
                );
            }
            let twice = self.rules.intensities[..index].iter().any(|other| other.range == row.range);
            let what = format!("the range of {} nautical miles is given twice", row.range);
            self.ask(!twice, Path::row("intensities", index).field("range"), what, "keep one of the two rows");
        }
    }

    fn ranges(&mut self) {
        for (index, row) in self.rules.ranges.iter().enumerate() {
            for light in LightKind::ALL.iter().filter(|light| self.rules.sector(**light).is_some()) {
                let name = range_field(*light);
                let at = Path::row("ranges", index).field(name);
                let Some(range) = row.range(*light) else {
                    let what = format!("the range of a {} is missing here", light.in_words());
                    self.doubt(at, what, format!("add `{name}: ...` in nautical miles"));
                    continue;
                };
                let what = format!("`intensities` has no row for the range of {range} nautical miles");
                let known = self.rules.intensity(NauticalMiles(range)).is_some();
                self.ask(known, at.clone(), what, "add its row to `intensities`, or write a range that has one");
            }
        }
        // Sidelights share a figure, and so do all-round lights: one doubt of each is enough.
        self.doubts.dedup();
        for (sailing, which) in [(true, "sailing vessels under way"), (false, "all other vessels")] {
            let there = self.rules.vertical.iter().filter(|row| row.sailing == sailing).count();
            let what = format!("`vertical` has {there} rows for {which}");
            self.ask(there == 1, Path::top("vertical"), what, format!("give one row with `sailing: {sailing}`"));
        }
        let lengths = self.rules.ranges.iter().flat_map(|row| ends(&row.length));
        let uncut = lengths.into_iter().find(|length| self.rules.cut(*length).is_none());
        if let Some(length) = uncut {
            let what = format!("`cut` has no row for a vessel of {length:.0} m");
            self.doubt(Path::top("cut"), what, "add a row that holds this length");
        }
    }

    /// A display for lengths that have no ranges could not be judged.
    fn gaps(&mut self) {
        let rules = self.rules;
        // A band that holds nothing has been told of already, and what it leaves open follows from it.
        let sound = rules.ranges.iter().all(|row| row.length.from < row.length.under);
        let gaps = rules.displays.iter().filter_map(|display| Some((display, gap(rules, display.length)?)));
        if let Some((display, length)) = gaps.min_by(|a, b| a.1.total_cmp(&b.1)).filter(|_| sound) {
            let what = format!(
                "`ranges` has no row for a vessel of {} m, which the display \"{}\" is for",
                trimmed(length, 2),
                display.name
            );
            self.doubt(Path::top("ranges"), what, "add its row, or end one band where the next begins");
        }
    }

    fn displays(&mut self) {
        for (index, display) in self.rules.displays.iter().enumerate() {
            let at = || Path::row("displays", index);
            let name = &display.name;
            self.ask(
                !name.trim().is_empty(),
                at().field("name"),
                "the name is empty",
                "say of which lights it consists",
            );
            for light in display.required().chain(display.may.iter().chain(&display.if_practicable).copied()) {
                let what = format!("`sectors` has no row for a {}, which this display shows", light.in_words());
                self.ask(self.rules.sector(light).is_some(), at(), what, "add its row to `sectors`");
            }
            self.ask(
                display.status != Status::UnderWay,
                at().field("status"),
                "a display is for being under way by one means",
                "write `UnderEngine`, `UnderSail` or `UnderOars`, in a display of its own each",
            );
            let fast = display.top_speed.is_none_or(|most| most > 0.0);
            self.ask(
                fast,
                at().field("top_speed"),
                "no vessel is slower than this",
                "write a speed in knots above nought",
            );
            let exempt = display.exempt.as_ref().is_none_or(|exempt| exempt.under > 0.0);
            let what = "an exemption under this length frees nobody";
            self.ask(exempt, at().field("exempt").field("under"), what, "write a length in metres above nought");
        }
    }

    fn edges(&mut self) {
        let cutoff = &self.rules.cutoff;
        for (name, degrees) in [
            ("forward_least", cutoff.forward_least),
            ("forward_outside", cutoff.forward_outside),
            ("aft_inside", cutoff.aft_inside),
            ("aft_outside", cutoff.aft_outside),
            ("all_round_hidden", cutoff.all_round_hidden),
        ] {
            let what = format!("`{name}` of `cutoff` cannot be {degrees} degrees");
            self.ask(
                (0.0..=45.0).contains(&degrees),
                Path::top("cutoff").field(name),
                what,
                "0 to 45 degrees are possible",
            );
        }
        let mut shares = vec![(Path::top("cutoff").field("aft_share"), "`aft_share` of `cutoff`", cutoff.aft_share)];
        let cut = self.rules.cut.iter().enumerate();
        shares.extend(cut.map(|(index, row)| (Path::row("cut", index).field("share"), "`share` of `cut`", row.share)));
        let vertical = self.rules.vertical.iter().enumerate();
        shares.extend(
            vertical
                .map(|(index, row)| (Path::row("vertical", index).field("share"), "`share` of `vertical`", row.share)),
        );
        for (path, name, share) in shares {
            let what = format!("{name} cannot be {share}");
            self.ask(share > 0.0 && share <= 1.0, path, what, "it must be above 0 and at most 1");
        }
        for (index, row) in self.rules.vertical.iter().enumerate() {
            let sound = 0.0 < row.full && row.full <= row.wide && row.wide <= 90.0;
            let what = format!("the vertical sector from {} to {} degrees is impossible", row.full, row.wide);
            let mend = "`full` must be above nought and no more than `wide`, which is at most 90 degrees";
            self.ask(sound, Path::row("vertical", index).field("full"), what, mend);
        }
    }

    fn limits(&mut self) {
        for (index, row) in self.rules.limits.iter().enumerate() {
            let at = Path::row("limits", index);
            let what = format!("the limit {:?} has neither `least` nor `most`", row.asks);
            self.ask(row.least.is_some() || row.most.is_some(), at.clone(), what, "give it one of the two");
            let crossed = matches!((row.least, row.most), (Some(least), Some(most)) if least > most);
            let what = format!("nothing keeps the limit {:?}: its least is more than its most", row.asks);
            self.ask(!crossed, at.field("least"), what, "exchange the two, or correct one");
        }
    }

    fn figures(&mut self) {
        let Rules { places, screens, evenness, glare, cutoff, .. } = self.rules;
        for (path, figure, least, most, unit) in [
            (Path::top("places").field("centreline"), places.centreline, 1e-6, 5.0, " metres"),
            (Path::top("places").field("stern_share"), places.stern_share, 1e-6, 1.0, ""),
            (Path::top("places").field("off_centre_under"), places.off_centre_under, 0.0, LONGEST, " metres"),
            (Path::top("places").field("near_centre_under"), places.near_centre_under, 0.0, LONGEST, " metres"),
            (Path::top("places").field("combined_under"), places.combined_under, 0.0, LONGEST, " metres"),
            (Path::top("screens").field("from"), screens.from, 0.0, LONGEST, " metres"),
            (Path::top("evenness").field("from"), evenness.from, 0.0, LONGEST, " metres"),
            (Path::top("evenness").field("most"), evenness.most, 1.0, 1e6, ""),
            (Path::top("glare").field("times"), glare.times, 1.0, 1e6, ""),
            (Path::top("glare").field("eye_lux"), glare.eye_lux, 1e-9, 1e6, " lux"),
            (Path::top("glare").field("deck_lux"), glare.deck_lux, 1e-9, 1e6, " lux"),
            (Path::top("glare").field("screen_under"), glare.screen_under, 0.0, LONGEST, " metres"),
            (Path::top("cutoff").field("pair_range"), cutoff.pair_range, 1e-6, 100.0, " nautical miles"),
            (Path::top("cutoff").field("pair_minutes"), cutoff.pair_minutes, 1e-6, 600.0, " minutes of arc"),
        ] {
            let (what, sound) = (format!("{figure}{unit} is impossible here"), (least..=most).contains(&figure));
            let from = if least < 1e-3 && least > 0.0 { "more than 0".into() } else { format!("{least} or more") };
            self.ask(sound, path, what, format!("it must be {from} and at most {most}"));
        }
    }

    fn waiver(&mut self) {
        let Some(waiver) = &self.rules.waiver else { return };
        let at = || Path::top("waiver");
        let mend = "say which set it is a relief from: add `from: \"international\"` or another built-in set";
        self.ask(self.rules.base.is_some(), at(), "a waiver must be a relief from something", mend);
        for (name, text, mend) in [
            ("authority", &waiver.authority, "name the authority that gave it"),
            ("area", &waiver.area, "name the waters it holds on"),
            ("reference", &waiver.reference, "say where its text stands"),
        ] {
            let blank = format!("the {name} of the waiver is empty");
            self.ask(!text.trim().is_empty(), at().field(name), blank, mend);
            let long = format!("the {name} of the waiver is too long to be printed on every sheet");
            self.ask(text.chars().count() <= 80, at().field(name), long, "keep to 80 characters");
        }
    }
}

/// The first and the last length of a band.
fn ends(band: &Band) -> [f64; 2] {
    [band.from, band.under.min(LONGEST) - 1e-6]
}

/// The least length of a band that no row of ranges holds.
fn gap(rules: &Rules, band: Band) -> Option<f64> {
    let mut length = band.from;
    while length < band.under.min(LONGEST) {
        length = match rules.range_row(length) {
            Some(row) => row.length.under,
            None => return Some(length),
        };
    }
    None
}

/// The field of a row of ranges that a light reads.
fn range_field(light: LightKind) -> &'static str {
    match light {
        LightKind::Masthead => "masthead",
        LightKind::StarboardSidelight | LightKind::PortSidelight => "sidelight",
        LightKind::Sternlight => "sternlight",
        LightKind::TowingLight => "towing",
        LightKind::SpecialFlashing => "special_flashing",
        LightKind::AllRoundWhite | LightKind::AllRoundRed | LightKind::AllRoundGreen | LightKind::FlashingYellow => {
            "all_round"
        }
    }
}

/// Every source, with the row that names it.
fn sources(rules: &Rules) -> Vec<(Path, &String)> {
    fn rows<'r, T>(
        list: &'static str,
        rows: &'r [T],
        source: fn(&T) -> &String,
    ) -> impl Iterator<Item = (Path, &'r String)> {
        rows.iter().enumerate().map(move |(index, row)| (Path::row(list, index).field("source"), source(row)))
    }
    let exempt = rules.displays.iter().enumerate().filter_map(|(index, display)| {
        let exempt = display.exempt.as_ref()?;
        Some((Path::row("displays", index).field("exempt").field("source"), &exempt.source))
    });
    let single = [
        (Path::top("intensity_source"), &rules.intensity_source),
        (Path::top("cutoff").field("source"), &rules.cutoff.source),
        (Path::top("places").field("source"), &rules.places.source),
        (Path::top("screens").field("source"), &rules.screens.source),
        (Path::top("evenness").field("source"), &rules.evenness.source),
        (Path::top("glare").field("source"), &rules.glare.source),
    ];
    rows("sectors", &rules.sectors, |row| &row.source)
        .chain(rows("ranges", &rules.ranges, |row| &row.source))
        .chain(rows("colours", &rules.colours, |row| &row.source))
        .chain(rows("cut", &rules.cut, |row| &row.source))
        .chain(rows("vertical", &rules.vertical, |row| &row.source))
        .chain(rows("limits", &rules.limits, |row| &row.source))
        .chain(rows("displays", &rules.displays, |row| &row.source))
        .chain(exempt)
        .chain(single)
        .collect()
}

/// Every band of lengths, with its place.
fn bands(rules: &Rules) -> Vec<(Path, Band)> {
    let at = |list, index| Path::row(list, index).field("length");
    let ranges = rules.ranges.iter().enumerate().map(|(index, row)| (at("ranges", index), row.length));
    let cut = rules.cut.iter().enumerate().map(|(index, row)| (at("cut", index), row.length));
    let limits = rules.limits.iter().enumerate().map(|(index, row)| (at("limits", index), row.length));
    let displays = rules.displays.iter().enumerate().map(|(index, row)| (at("displays", index), row.length));
    ranges.chain(cut).chain(limits).chain(displays).collect()
}
