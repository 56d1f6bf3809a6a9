//! The session of a device: what its cookie holds instead of the key.

use std::fmt;

use hmac::{Hmac, KeyInit, Mac};
use sha2::Sha256;
use subtle::ConstantTimeEq;

use crate::key::{Grade, Keys, hex};

/// Random bytes of a session.
const ID_BYTES: usize = 10;
/// Bytes of the code that says the recorder made it: 128 bits.
const MAC_BYTES: usize = 16;
/// Characters of a device's name. The 32 of them are those of base 32 that cannot be
/// taken for one another.
const NAME: usize = 4;
const LETTERS: &[u8; 32] = b"0123456789ABCDEFGHJKMNPQRSTVWXYZ";

/// The name of a device: four letters and digits, chosen at random when it first shows a
/// key, and the same as long as it keeps its cookie. Two of sixteen devices share a name
/// once in about 8,700 times.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Device([u8; NAME]);

impl Device {
    /// The device of this name; `None` where no device is named so.
    #[must_use]
    pub fn named(name: &str) -> Option<Self> {
        let name: [u8; NAME] = name.as_bytes().try_into().ok()?;
        name.iter()
            .all(|b| LETTERS.contains(b))
            .then_some(Self(name))
    }
}

impl fmt::Display for Device {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0
            .iter()
            .try_for_each(|b| write!(f, "{}", char::from(*b)))
    }
}

/// One device's session: its grade and a random number.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Session {
    pub(crate) grade: Grade,
    id: [u8; ID_BYTES],
}

impl Session {
    /// A new one; `None` where the system gives no random numbers.
    pub(crate) fn random(grade: Grade) -> Option<Self> {
        let mut id = [0; ID_BYTES];
        getrandom::fill(&mut id).ok()?;
        Some(Self { grade, id })
    }

    /// The same device with this grade.
    pub(crate) const fn with_grade(self, grade: Grade) -> Self {
        Self { grade, id: self.id }
    }

    pub(crate) fn device(self) -> Device {
        let bits = self.id.first_chunk().map_or(0, |b| u32::from_be_bytes(*b));
        let letter = |place: usize| LETTERS[(bits >> (27 - 5 * place)) as usize % LETTERS.len()];
        Device(std::array::from_fn(letter))
    }
}

/// Makes and reads the cookie's values. Nothing is kept for it: a value says grade and
/// device, and a code (HMAC, RFC 2104, with SHA-256) that only who knows both keys can
/// make. With other keys all of them are void.
#[derive(Clone)]
pub(crate) struct Sessions(Hmac<Sha256>);

impl fmt::Debug for Sessions {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("Sessions")
    }
}

impl Sessions {
    pub(crate) fn of(keys: &Keys) -> Option<Self> {
        // any length of key is allowed, RFC 2104, 2
        Hmac::new_from_slice(keys.to_text().as_bytes())
            .ok()
            .map(Self)
    }

    /// What the cookie holds.
    pub(crate) fn value(&self, session: Session) -> String {
        let body = body(session);
        format!("{body}{}", self.code(&body))
    }

    /// The session of a cookie's value; `None` where the recorder did not make it.
    pub(crate) fn read(&self, value: &str) -> Option<Session> {
        let grade = match value.get(..1)? {
            "v" => Grade::View,
            "m" => Grade::Mark,
            _ => return None,
        };
        let (digits, code) = value.get(1..)?.split_at_checked(2 * ID_BYTES)?;
        let mut id = [0; ID_BYTES];
        for (byte, pair) in id.iter_mut().zip(digits.as_bytes().chunks(2)) {
            let pair = std::str::from_utf8(pair).ok()?;
            *byte = u8::from_str_radix(pair, 16).ok()?;
        }
        let session = Session { grade, id };
        // its one spelling, then the code
        let wanted = self.code(&body(session));
        let sound = code.as_bytes().ct_eq(wanted.as_bytes());
        let spelled = body(session)
            .as_bytes()
            .ct_eq(value.as_bytes().get(..1 + 2 * ID_BYTES)?);
        bool::from(sound & spelled).then_some(session)
    }

    fn code(&self, body: &str) -> String {
        let mut mac = self.0.clone();
        mac.update(b"session of a page\n");
        mac.update(body.as_bytes());
        hex(&mac.finalize().into_bytes()[..MAC_BYTES])
    }
}

fn body(session: Session) -> String {
    let grade = match session.grade {
        Grade::View => 'v',
        Grade::Mark => 'm',
    };
    format!("{grade}{}", hex(&session.id))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn sessions() -> Sessions {
        Sessions::of(&Keys::random().expect("random")).expect("any key will do")
    }

    #[test]
    fn a_value_is_read_back_and_no_other_is() {
        let sessions = sessions();
        let session = Session::random(Grade::View).expect("random");
        let value = sessions.value(session);
        assert_eq!(sessions.read(&value), Some(session));
        assert_eq!(super::tests::sessions().read(&value), None, "other keys");
        // looking on does not turn into stamping
        let greater = format!("m{}", &value[1..]);
        assert_eq!(sessions.read(&greater), None);
        for place in 0..value.len() {
            for other in ['0', '1', 'f', 'F', 'm', '+', ' '] {
                let mut changed = value.clone();
                changed.replace_range(place..=place, &other.to_string());
                if changed != value {
                    assert_eq!(sessions.read(&changed), None, "{changed}");
                }
            }
        }
        let longer = format!("{value}0");
        for wrong in [
            "",
            "v",
            "m",
            "ä",
            &value[..40],
            &longer,
            &value.to_uppercase(),
        ] {
            assert_eq!(sessions.read(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn the_code_is_that_of_rfc_2104() {
        // computed with Python's standard library:
        // hmac.new(text, b"session of a page\nv" + b"00" * 10, "sha256").hexdigest()[:32]
        let keys = Keys::from_text(
            "view 0123456789abcdef0123456789abcdef\nmark fedcba98765432100123456789abcdef\n",
        );
        let sessions = Sessions::of(&keys.expect("sound")).expect("any key will do");
        let session = Session {
            grade: Grade::View,
            id: [0; ID_BYTES],
        };
        let code = "0705a22404547815ed2902dfa561f229";
        assert_eq!(
            sessions.value(session),
            format!("v{}{code}", "00".repeat(10))
        );
    }

    #[test]
    fn a_device_has_a_short_name_that_stays() {
        let session = Session {
            grade: Grade::View,
            id: [0b0000_0000, 0b0100_0111, 0b1100_0000, 0, 0, 0, 0, 0, 0, 9],
        };
        assert_eq!(session.device().to_string(), "013W");
        assert_eq!(Device::named("013W"), Some(session.device()));
        for wrong in ["", "013", "013WW", "013O", "013w"] {
            assert_eq!(Device::named(wrong), None, "{wrong}");
        }
        let greater = session.with_grade(Grade::Mark);
        assert_eq!(greater.device(), session.device());
        let names: std::collections::BTreeSet<Device> = (0..200)
            .filter_map(|_| Session::random(Grade::View))
            .map(Session::device)
            .collect();
        assert!(names.len() > 190, "{}", names.len());
    }
}
