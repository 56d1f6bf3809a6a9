//! Decisions taken off the front of the fuzzer's bytes.

/// Bytes that are used up from the front; zeros once they are gone.
#[derive(Debug, Clone)]
pub(crate) struct Choices<'d>(&'d [u8]);

impl<'d> Choices<'d> {
    pub(crate) fn new(data: &'d [u8]) -> Self {
        Self(data)
    }

    pub(crate) fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// The next byte.
    pub(crate) fn byte(&mut self) -> u8 {
        let [byte] = self.bytes();
        byte
    }

    /// The next bytes, high byte first where they make a number.
    pub(crate) fn bytes<const N: usize>(&mut self) -> [u8; N] {
        let mut out = [0; N];
        let taken = self.take(N);
        out[..taken.len()].copy_from_slice(taken);
        out
    }

    pub(crate) fn u16(&mut self) -> u16 {
        u16::from_be_bytes(self.bytes())
    }

    pub(crate) fn u32(&mut self) -> u32 {
        u32::from_be_bytes(self.bytes())
    }

    /// At most so many of the next bytes.
    pub(crate) fn take(&mut self, most: usize) -> &'d [u8] {
        let (head, rest) = self.0.split_at(most.min(self.0.len()));
        self.0 = rest;
        head
    }

    /// All that is left.
    pub(crate) fn rest(self) -> &'d [u8] {
        self.0
    }
}

/// Cuts bytes into pieces of 1 to 16 bytes, the lengths drawn from a seed
/// (xorshift, Marsaglia 2003).
pub(crate) fn pieces(bytes: &[u8], seed: u8) -> impl Iterator<Item = &[u8]> {
    let mut rest = bytes;
    let mut state = u32::from(seed) | 0x0100;
    std::iter::from_fn(move || {
        state ^= state << 13;
        state ^= state >> 17;
        state ^= state << 5;
        let length = 1 + (state % 16) as usize;
        let (piece, behind) = rest.split_at(length.min(rest.len()));
        rest = behind;
        (!piece.is_empty()).then_some(piece)
    })
}
