//! What the address says: where in the app the person is. A reload comes back to exactly here.

use std::fmt;

use survey::SurveyId;

use crate::capability::navigation;

/// A place in the app.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum Route {
    /// The surveys on this device.
    #[default]
    Home,
    /// The device itself: its owner, how it looks, whether it is ready for no signal.
    Device,
    /// The camera that reads another phone: what it brings says which survey it is.
    Camera,
    /// The reviewer's view: a file that somebody was sent, checked.
    Review,
    /// Somewhere in a survey.
    Survey {
        /// The survey.
        survey: SurveyId,
        /// The part of the day.
        journey: Journey,
        /// Where in it; each journey reads its own. Empty is its beginning.
        at: Vec<String>,
    },
}

/// A part of the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Journey {
    /// Why, how long, what is in scope, where the boxes are.
    Setup,
    /// Closing the list, the seed, the draw.
    Sample,
    /// Boxes and items.
    Check,
    /// Figures.
    Results,
    /// Files.
    HandOver,
}

impl Journey {
    /// In the order of the day.
    pub const ALL: [Self; 5] = [
        Self::Setup,
        Self::Sample,
        Self::Check,
        Self::Results,
        Self::HandOver,
    ];

    /// Its name in the address.
    #[must_use]
    pub fn name(self) -> &'static str {
        match self {
            Self::Setup => "setup",
            Self::Sample => "sample",
            Self::Check => "check",
            Self::Results => "results",
            Self::HandOver => "handover",
        }
    }
}

impl Route {
    /// A place in a survey.
    #[must_use]
    pub fn to(survey: SurveyId, journey: Journey, at: &[&str]) -> Self {
        Self::Survey {
            survey,
            journey,
            at: at.iter().map(|part| (*part).to_owned()).collect(),
        }
    }

    /// Reads what stands behind `#`. Whatever cannot be read is the home screen.
    #[must_use]
    pub fn read(hash: &str) -> Self {
        let mut parts = hash.split('/').filter(|part| !part.is_empty());
        match parts.next() {
            Some("device") => Self::Device,
            Some("camera") => Self::Camera,
            Some("review") => Self::Review,
            Some("s") => {
                let survey = parts.next().and_then(|id| id.parse().ok());
                let Some(survey) = survey else { return Self::Home };
                let name = parts.next().unwrap_or_default();
                let journey = Journey::ALL.into_iter().find(|journey| journey.name() == name);
                let at = parts.map(str::to_owned).collect();
                match journey {
                    Some(journey) => Self::Survey { survey, journey, at },
                    None => Self::to(survey, Journey::Setup, &[]),
                }
            }
            _ => Self::Home,
        }
    }

    /// The survey it is in.
    #[must_use]
    pub fn survey(&self) -> Option<SurveyId> {
        match self {
            Self::Survey { survey, .. } => Some(*survey),
            Self::Home | Self::Device | Self::Camera | Self::Review => None,
        }
    }

    /// The part of the day it is in.
    #[must_use]
    pub fn journey(&self) -> Option<Journey> {
        match self {
            Self::Survey { journey, .. } => Some(*journey),
            Self::Home | Self::Device | Self::Camera | Self::Review => None,
        }
    }

    /// The address for a link, with its `#`.
    #[must_use]
    pub fn href(&self) -> String {
        format!("#{self}")
    }

    /// Whether this is where the address bar is.
    #[must_use]
    pub fn is_here(&self) -> bool {
        Self::read(&navigation::here()) == *self
    }

    /// Goes there; back comes back.
    pub fn go(&self) {
        navigation::go(&self.to_string());
    }

    /// Goes there in place of where we are.
    pub fn replace(&self) {
        navigation::replace(&self.to_string());
    }
}

impl fmt::Display for Route {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Home => f.write_str("/"),
            Self::Device => f.write_str("/device"),
            Self::Camera => f.write_str("/camera"),
            Self::Review => f.write_str("/review"),
            Self::Survey { survey, journey, at } => {
                write!(f, "/s/{survey}/{}", journey.name())?;
                at.iter().try_for_each(|part| write!(f, "/{part}"))
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_place_survives_being_written_and_read() {
        let survey = SurveyId([7; 16]);
        for journey in Journey::ALL {
            for at in [&[][..], &["box", "0001-1", "item", "3", "wind"]] {
                let route = Route::to(survey, journey, at);
                assert_eq!(Route::read(&route.to_string()), route);
            }
        }
        for route in [Route::Device, Route::Camera, Route::Review] {
            assert_eq!(Route::read(&route.to_string()), route);
        }
    }

    #[test]
    fn what_cannot_be_read_is_home() {
        for hash in ["", "/", "nonsense", "/s", "/s/12/check", "/s/../etc"] {
            assert_eq!(Route::read(hash), Route::Home, "{hash}");
        }
        let odd = format!("/s/{}/party", SurveyId([1; 16]));
        assert_eq!(
            Route::read(&odd),
            Route::to(SurveyId([1; 16]), Journey::Setup, &[])
        );
    }
}
