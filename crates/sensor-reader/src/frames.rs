//! Cuts a byte stream into binary frames, bounded, whatever the chunks.

use crate::{checksum::ChecksumRule, dialect::FrameRule};

/// Rubbish is reported at the latest after so many bytes.
pub(crate) const MOST_RUBBISH: usize = 256;

/// Something found in the stream.
#[derive(Debug, PartialEq, Eq)]
pub(crate) enum Block {
    /// A frame that begins and ends right. Its checksum is not yet known to fit.
    Frame(Vec<u8>),
    /// Bytes that belong to no frame.
    Rubbish(Vec<u8>),
}

/// Frame cutting state: pure, one byte stream.
///
/// A frame whose end or checksum is wrong costs only its first byte, so that
/// sync bytes that happen to occur inside data never hide a real frame.
#[derive(Debug)]
pub(crate) struct FrameCutter {
    rule: FrameRule,
    checksum: Option<ChecksumPlace>,
    bytes: Vec<u8>,
    rubbish: Vec<u8>,
    /// Bytes of a frame already reported as bad, not to be reported again.
    forgiven: usize,
    /// The last frame ended right where the next must begin.
    locked: bool,
}

/// A checksum and where its value stands.
#[derive(Debug, Clone)]
pub(crate) struct ChecksumPlace {
    pub(crate) rule: ChecksumRule,
    pub(crate) start: usize,
    pub(crate) width: usize,
}

impl ChecksumPlace {
    fn fits(&self, frame: &[u8]) -> bool {
        frame
            .get(self.start..self.start + self.width)
            .is_some_and(|text| self.rule.check(frame, self.start, text).is_ok())
    }
}

impl FrameCutter {
    /// `joining`: the stream may begin anywhere. Without a checksum, a frame is
    /// then believed only when another begins right behind it.
    pub(crate) fn new(rule: &FrameRule, checksum: Option<ChecksumPlace>, joining: bool) -> Self {
        Self {
            rule: rule.clone(),
            checksum,
            bytes: Vec::new(),
            rubbish: Vec::new(),
            forgiven: 0,
            locked: !joining,
        }
    }

    /// Takes bytes from the front of `bytes` until a block is complete or the
    /// bytes are used up.
    pub(crate) fn next(&mut self, bytes: &mut &[u8]) -> Option<Block> {
        loop {
            if let Some(block) = self.cut() {
                return Some(block);
            }
            let (first, rest) = bytes.split_first()?;
            *bytes = rest;
            self.bytes.push(*first);
        }
    }

    /// Looks at what has been collected; `None` if more is needed.
    fn cut(&mut self) -> Option<Block> {
        while !self.bytes.is_empty() {
            if !self.may_begin(&self.bytes) {
                self.locked = false;
                if let Some(block) = self.drop_first() {
                    return Some(block);
                }
                continue;
            }
            if self.bytes.len() < self.rule.length {
                return None;
            }
            let frame = &self.bytes[..self.rule.length];
            let ends = frame.ends_with(&self.rule.end);
            let fits = self.checksum.as_ref().is_none_or(|c| c.fits(frame));
            if !ends || !fits {
                return self.drop_bad(ends);
            }
            if self.checksum.is_none() && !self.locked {
                // wait for the beginning of the next frame
                let next = &self.bytes[self.rule.length..];
                if self.may_begin(next) {
                    if next.len() < self.rule.sync.len() {
                        return None;
                    }
                } else {
                    if let Some(block) = self.drop_first() {
                        return Some(block);
                    }
                    continue;
                }
            }
            return Some(self.take_frame());
        }
        None
    }

    /// True if these bytes are a sync, or the beginning of one.
    fn may_begin(&self, bytes: &[u8]) -> bool {
        let seen = bytes.len().min(self.rule.sync.len());
        bytes[..seen] == self.rule.sync[..seen]
    }

    /// The frame at the front, or the rubbish before it, which comes first.
    fn take_frame(&mut self) -> Block {
        self.forgiven = 0;
        if !self.rubbish.is_empty() {
            return Block::Rubbish(std::mem::take(&mut self.rubbish));
        }
        self.locked = true;
        let rest = self.bytes.split_off(self.rule.length);
        Block::Frame(std::mem::replace(&mut self.bytes, rest))
    }

    /// Gives a bad frame up, but only its first byte, for another may begin
    /// inside. It is reported unless it overlaps one that was.
    fn drop_bad(&mut self, ends: bool) -> Option<Block> {
        self.locked = false;
        if self.forgiven > 0 || !ends {
            return match self.drop_first() {
                Some(block) => Some(block),
                None => self.cut(),
            };
        }
        if !self.rubbish.is_empty() {
            return Some(Block::Rubbish(std::mem::take(&mut self.rubbish)));
        }
        let frame = self.bytes[..self.rule.length].to_vec();
        self.bytes.remove(0);
        self.forgiven = self.rule.length - 1;
        Some(Block::Frame(frame))
    }

    /// Drops one byte; gives the rubbish once there is enough of it.
    fn drop_first(&mut self) -> Option<Block> {
        let byte = self.bytes.remove(0);
        if self.forgiven > 0 {
            self.forgiven -= 1;
            return None;
        }
        self.rubbish.push(byte);
        (self.rubbish.len() >= MOST_RUBBISH)
            .then(|| Block::Rubbish(std::mem::take(&mut self.rubbish)))
    }

    /// True while a whole frame waits for the next one to begin.
    pub(crate) fn is_holding(&self) -> bool {
        self.bytes.len() >= self.rule.length
    }

    /// Bytes kept: rubbish not yet reported, and a frame in progress.
    pub(crate) fn held_bytes(&self) -> usize {
        self.rubbish.len() + self.bytes.len()
    }

    /// Ends the stream: what was rubbish, and what was begun. Starts afresh.
    pub(crate) fn finish(&mut self) -> (Vec<u8>, Vec<u8>) {
        self.forgiven = 0;
        self.locked = true;
        (
            std::mem::take(&mut self.rubbish),
            std::mem::take(&mut self.bytes),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::checksum::{ChecksumKind, ChecksumText, Cover};

    /// `S S d c` with an 8-bit sum over `d`, or `S S d d` without one.
    fn cutter(checked: bool, joining: bool) -> FrameCutter {
        let rule = FrameRule {
            sync: b"SS".to_vec(),
            end: Vec::new(),
            length: 4,
        };
        let checksum = checked.then_some(ChecksumPlace {
            rule: ChecksumRule {
                kind: ChecksumKind::Sum8,
                text: ChecksumText::Binary,
                low_byte_first: false,
                cover: Cover::Bytes(2, 3),
            },
            start: 3,
            width: 1,
        });
        FrameCutter::new(&rule, checksum, joining)
    }

    fn cut(mut cutter: FrameCutter, bytes: &[u8]) -> Vec<String> {
        let mut rest = bytes;
        let mut out = Vec::new();
        while let Some(block) = cutter.next(&mut rest) {
            out.push(match block {
                Block::Frame(frame) => String::from_utf8_lossy(&frame).into_owned(),
                Block::Rubbish(bytes) => format!("!{}", String::from_utf8_lossy(&bytes)),
            });
        }
        out
    }

    #[test]
    fn a_sync_inside_data_does_not_hide_the_next_frame() {
        // the second frame is spoilt; a true one begins within its four bytes
        let out = cut(cutter(true, true), b"SSaaSSxSSbbSScc");
        assert_eq!(out, ["SSaa", "SSxS", "SSbb", "SScc"]);
    }

    #[test]
    fn rubbish_comes_before_the_frame_behind_it() {
        let out = cut(cutter(true, true), b"xySSaazSSbb");
        assert_eq!(out, ["!xy", "SSaa", "!z", "SSbb"]);
    }

    #[test]
    fn without_a_checksum_the_next_frame_must_follow() {
        // joined inside a frame whose data look like a sync
        let out = cut(cutter(false, true), b"SSxSSabSScdSSef");
        assert_eq!(out, ["!SSx", "SSab", "SScd", "SSef"]);
        assert_eq!(cut(cutter(false, true), b"SSab"), [""; 0]);
        assert_eq!(cut(cutter(false, false), b"SSab"), ["SSab"]);
    }
}
