//! Lights that are commonly switched on together and should not be: what they falsely announce.
//!
//! Takes the roles of the lamps lit; gives words and a clause. Which vessel shows them is for the caller: what one may
//! not show, another may.

use crate::boat::Role;

/// The clause that every false showing offends.
pub(super) use crate::rules::spare::CLAUSE;

/// A sort of light, as far as mistakes tell them apart.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Sort {
    Masthead,
    /// Both of them, in one lantern or two.
    Sidelights,
    OneSidelight,
    Sternlight,
    /// Sidelights and sternlight in one.
    Lantern,
    White,
    Red,
    Green,
    Other,
}

/// A recognised mistake.
#[derive(Debug)]
pub(super) struct Mistake {
    /// All of these are lit, ...
    with: &'static [Sort],
    /// ... these may be, and nothing else is.
    perhaps: &'static [Sort],
    /// In words that follow the name of the setting and a colon.
    pub words: &'static str,
    pub clause: &'static str,
}

/// What is false about lamps of these roles lit together, if it is a common mistake.
pub(super) fn recognised(roles: &[Role]) -> Option<&'static Mistake> {
    let sorts = sorts(roles);
    MISTAKES.iter().find(|mistake| {
        mistake.with.iter().all(|sort| sorts.contains(sort))
            && sorts.iter().all(|sort| mistake.with.contains(sort) || mistake.perhaps.contains(sort))
    })
}

fn sorts(roles: &[Role]) -> Vec<Sort> {
    let both = roles.contains(&Role::CombinedSidelights)
        || (roles.contains(&Role::StarboardSidelight) && roles.contains(&Role::PortSidelight));
    let sort = |role: &Role| match role {
        Role::Masthead => Sort::Masthead,
        Role::StarboardSidelight | Role::PortSidelight | Role::CombinedSidelights if both => Sort::Sidelights,
        Role::StarboardSidelight | Role::PortSidelight | Role::CombinedSidelights => Sort::OneSidelight,
        Role::Sternlight => Sort::Sternlight,
        Role::ThreeColourLantern => Sort::Lantern,
        Role::AllRoundWhite => Sort::White,
        Role::AllRoundRed => Sort::Red,
        Role::AllRoundGreen => Sort::Green,
        Role::TowingLight | Role::FlashingYellow | Role::SpecialFlashing => Sort::Other,
    };
    roles.iter().map(sort).collect()
}

const LANTERN_TWICE: &str = "the one lantern stands in for sidelights and sternlight; with them the same light shows \
    twice, as of two vessels.";

/// The first that fits is told. Rules read in the copies that the rule file names; the words are the program's own.
const MISTAKES: &[Mistake] = &[
    Mistake {
        with: &[Sort::OneSidelight],
        perhaps: &[Sort::Masthead, Sort::Sternlight, Sort::White],
        words: "one sidelight shows without the other, so that from one bow she seems to be another vessel, or none.",
        clause: "Rule 21(b)",
    },
    Mistake {
        with: &[Sort::Lantern, Sort::Red, Sort::Green],
        perhaps: &[Sort::Sidelights, Sort::Sternlight, Sort::Masthead, Sort::White],
        words: "red over green is shown with sidelights and sternlight apart, never with the one lantern.",
        clause: "Rule 25(c)",
    },
    Mistake {
        with: &[Sort::Lantern, Sort::Masthead],
        perhaps: &[Sort::Sidelights, Sort::Sternlight, Sort::White],
        words: "the one lantern is for sail alone and the masthead light for an engine: together they say neither sail \
                nor power.",
        clause: "Rule 23(a), Rule 25(b)",
    },
    Mistake {
        with: &[Sort::Lantern, Sort::White],
        perhaps: &[Sort::Sidelights, Sort::Sternlight],
        words: "the one lantern says under way by sail and the all-round white light at anchor; astern two whites show.",
        clause: "Rule 25(b), Rule 30(b)",
    },
    Mistake {
        with: &[Sort::Lantern, Sort::Sidelights],
        perhaps: &[Sort::Sternlight],
        words: LANTERN_TWICE,
        clause: "Rule 25(b)",
    },
    Mistake { with: &[Sort::Lantern, Sort::Sternlight], perhaps: &[], words: LANTERN_TWICE, clause: "Rule 25(b)" },
    Mistake {
        with: &[Sort::White, Sort::Sternlight, Sort::Sidelights],
        perhaps: &[Sort::Masthead],
        words: "two whites show astern, the sternlight and the all-round white light, which is shown under way only in \
                place of masthead light and sternlight.",
        clause: "Rule 23(d)(i)",
    },
    Mistake {
        with: &[Sort::White, Sort::Masthead],
        perhaps: &[Sort::Sidelights, Sort::Sternlight],
        words: "two whites show ahead, the masthead light and the all-round white light, as of a longer vessel, or of \
                one that tows.",
        clause: "Rule 23(a)",
    },
    Mistake {
        with: &[Sort::White, Sort::Sidelights],
        perhaps: &[],
        words: "an anchor light with sidelights says neither at anchor nor under way, unless of a short vessel under \
                engine.",
        clause: "Rule 23(d)(i), Rule 30(b)",
    },
    Mistake {
        with: &[Sort::White, Sort::Sternlight],
        perhaps: &[],
        words: "a sternlight with the anchor light shows two whites astern and one ahead: neither at anchor nor under way.",
        clause: "Rule 30(b)",
    },
    Mistake {
        with: &[Sort::Sidelights],
        perhaps: &[],
        words: "sidelights alone leave her dark astern; they are the lights of a vessel pushed ahead.",
        clause: "Rule 24(f)(i)",
    },
    Mistake {
        with: &[Sort::Sidelights, Sort::Sternlight],
        perhaps: &[],
        words: "sidelights and sternlight without a masthead light say under way by sail, or towed.",
        clause: "Rule 23(a), Rule 25(a)",
    },
    Mistake {
        with: &[Sort::Masthead, Sort::Sidelights],
        perhaps: &[],
        words: "nothing shows astern: an overtaking vessel sees her too late.",
        clause: "Rule 21(c), Rule 23(a)",
    },
    Mistake {
        with: &[Sort::Masthead],
        perhaps: &[Sort::Sternlight],
        words: "white without sidelights does not tell that she is under way, nor which way she heads.",
        clause: "Rule 23(a)",
    },
    Mistake {
        with: &[Sort::Sternlight],
        perhaps: &[],
        words: "a sternlight alone leaves her dark from ahead to abaft the beam.",
        clause: "Rule 21(c)",
    },
];

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn no_mistake_hides_behind_one_told_before_it() {
        for (index, mistake) in MISTAKES.iter().enumerate() {
            let hidden = MISTAKES[..index].iter().any(|before| {
                before.with.iter().all(|sort| mistake.with.contains(sort))
                    && mistake.with.iter().all(|sort| before.with.contains(sort) || before.perhaps.contains(sort))
            });
            assert!(!hidden, "{}", mistake.words);
        }
    }

    #[test]
    fn every_clause_named_here_is_in_both_sets_of_rules() {
        for rules in [crate::rules::international(), crate::rules::inland()] {
            let known = |clause: &str| rules.clauses.iter().any(|row| row.clause == clause);
            let named = MISTAKES.iter().flat_map(|mistake| mistake.clause.split(", "));
            for clause in named.chain([CLAUSE]).chain(crate::rules::spare::LANTERN_CLAUSE.split(", ")) {
                assert!(known(clause), "{clause} in {}", rules.name);
            }
        }
    }
}
