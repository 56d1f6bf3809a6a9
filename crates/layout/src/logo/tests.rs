use super::*;

fn png_of(width: u32, height: u32, pixel: [u8; 3]) -> Vec<u8> {
    let rgb = pixel.repeat((width * height) as usize);
    png_file::encode(&rgb, (width, height), None).unwrap()
}

#[test]
fn a_picture_is_kept_in_its_colour_and_shape() {
    let logo = Logo::read(&png_of(900, 300, [200, 30, 30])).unwrap();
    assert_eq!(logo.size(), (363.0, 121.0));
    assert!(
        logo.rgb()
            .2
            .chunks(3)
            .all(|p| p[0].abs_diff(200) < 3 && p[1].abs_diff(30) < 3)
    );
    let svg = "<svg xmlns='http://www.w3.org/2000/svg' viewBox='0 0 40 10'>\
               <rect width='20' height='10' fill='#001080'/></svg>";
    let logo = Logo::read(svg.as_bytes()).unwrap();
    assert_eq!(logo.size(), (400.0, 100.0));
    assert_eq!(logo.rgb().2[..3], [0x00, 0x10, 0x80]);
    assert_eq!(
        logo.rgb().2[logo.rgb().2.len() - 3..],
        [255; 3],
        "paper is white"
    );
}

#[test]
fn what_is_no_logo_is_refused_in_words() {
    let big = vec![b' '; MOST_BYTES + 1];
    let long = png_of(5000, 1, [0; 3]);
    let mut torn = png_of(90, 90, [9; 3]);
    torn.truncate(60);
    for (bytes, words) in [
        (&big[..], "1 MB"),
        (&long[..], "5000 × 1"),
        (&torn[..], "PNG or SVG"),
        (b"", "PNG or SVG"),
        (b"GIF89a", "PNG or SVG"),
    ] {
        let said = Logo::read(bytes).unwrap_err().to_string();
        assert!(said.contains(words), "{said}");
    }
}

const SVG: &str = "<svg xmlns='http://www.w3.org/2000/svg' \
                   xmlns:xlink='http://www.w3.org/1999/xlink' width='80' height='24'>";

fn svg(inside: &str) -> Result<Logo, LogoError> {
    Logo::read(format!("{SVG}{inside}</svg>").as_bytes())
}

/// The picture that is named is a real one: drawn, it would show.
#[test]
fn a_picture_takes_nothing_from_outside() {
    let folder = tempfile::tempdir().expect("a folder");
    let secret = folder.path().join("secret.svg");
    let black = format!("{SVG}<rect width='80' height='24'/></svg>");
    std::fs::write(&secret, &black).expect("written");
    assert!(Logo::read(black.as_bytes()).is_ok(), "it can be drawn");
    let secret = secret.display();
    for inside in [
        format!("<image href='{secret}' width='80' height='24'/>"),
        format!("<image xlink:href='{secret}' width='80' height='24'/>"),
        format!("<use href='{secret}#x'/>"),
        format!("<rect width='80' height='24' fill='url({secret}#x)'/>"),
        format!("<rect width='80' height='24' style='fill:url( \"{secret}#x\")'/>"),
        format!("<style>@import '{secret}';</style>"),
        format!("<style>rect {{ fill: u\\72l({secret}#x) }}</style>"),
    ] {
        let said = svg(&inside).expect_err(&inside).to_string();
        assert!(said.contains("it holds"), "{inside}: {said}");
    }
    // whatever gets past the first look: the library that draws finds nothing
    let document = format!("{SVG}<image href='{secret}' width='80' height='24'/></svg>");
    let tree = svg::tree(&resvg::usvg::roxmltree::Document::parse(&document).expect("XML"));
    let mut paper = paper(80.0, 24.0).expect("paper");
    resvg::render(
        &tree.expect("SVG"),
        Transform::identity(),
        &mut paper.as_mut(),
    );
    assert!(paper.data().iter().all(|v| *v == 255), "nothing was drawn");
}

#[test]
fn what_a_logo_does_not_need_is_refused() {
    let twice = |n: usize| {
        (1..n).fold("<g id='g0'><path d='M0 0h1'/></g>".to_owned(), |all, i| {
            let below = i - 1;
            format!("{all}<g id='g{i}'><use href='#g{below}'/><use xlink:href='#g{below}'/></g>")
        })
    };
    let deep = "<g>".repeat(200) + &"</g>".repeat(200);
    for (inside, words) in [
        (
            "<filter id='f'><feGaussianBlur stdDeviation='900'/></filter>".to_owned(),
            "<filter>",
        ),
        (
            "<rect width='9' height='9' filter='blur(900px)'/>".into(),
            "a filter",
        ),
        (
            "<rect width='9' height='9' style='Filter : blur(9px)'/>".into(),
            "a filter",
        ),
        ("<style>rect{filter:blur(9px)}</style>".into(), "a filter"),
        (
            "<style>rect{fil/**/ter:blur(9px)}</style>".into(),
            "style text",
        ),
        ("<mask id='m'/>".into(), "<mask>"),
        ("<pattern id='p'/>".into(), "<pattern>"),
        ("<script>1</script>".into(), "<script>"),
        ("<foreignObject/>".into(), "<foreignObject>"),
        (
            "<text y='9'>Shop</text>".into(),
            "change the text into paths",
        ),
        (twice(40), "repeat each other"),
        ("<g id='a'><use href='#a'/></g>".into(), "repeat each other"),
        (deep, "repeat each other"),
        ("<rect width='9' height='9'/>".repeat(20_001), "too many"),
        (
            "<path d='M0 0h90000' stroke='#000' stroke-dasharray='1 2'/>".into(),
            "too many dashes",
        ),
        // arcs whose radius is beyond every picture
        (
            format!("<path d='M1 2a1{} 2 3 1 0 4 5z'/>", "0".repeat(75)),
            "too large",
        ),
        ("<path d='M1 2a.5.5e75 3 1 0 4 5z'/>".into(), "too large"),
        ("<path d='M1-2A2,1E+999,3 1 0 4 5z'/>".into(), "too large"),
    ] {
        let said = svg(&inside).expect_err(words).to_string();
        assert!(said.contains(words), "{words}: {said}");
        // a file that does not say what it is, is drawn all the same
        let bare = SVG.replace("xmlns='http://www.w3.org/2000/svg'", "");
        assert_ne!(bare, SVG);
        let bare = Logo::read(format!("{bare}{inside}</svg>").as_bytes());
        let said = bare.expect_err(words).to_string();
        assert!(said.contains(words), "without a namespace, {words}: {said}");
    }
    let squeezed = [0x1f, 0x8b, 8, 0, 0, 0, 0, 0];
    let said = Logo::read(&squeezed).expect_err("gzip").to_string();
    assert!(said.contains("save it as plain SVG"), "{said}");
    let entities = "<!DOCTYPE svg [<!ENTITY a 'aaaa'>]>".to_owned() + SVG + "</svg>";
    assert!(Logo::read(entities.as_bytes()).is_err(), "no entities");
    for sides in ["width='1e-30' height='1'", "width='1e30' height='1'"] {
        let svg = format!("<svg xmlns='http://www.w3.org/2000/svg' {sides}/>");
        assert!(Logo::read(svg.as_bytes()).is_err(), "{sides}");
    }
}

/// What drawing programs put into a file beside the picture does no harm.
#[test]
fn a_logo_as_drawing_programs_save_it_is_drawn() {
    let inside = "<metadata xmlns:x='urn:x'><x:image href='/etc/passwd'/></metadata>\
                  <defs><linearGradient id='l'><stop offset='0' stop-color='#f00'/>\
                  <stop offset='1' stop-color='#00f'/></linearGradient>\
                  <clipPath id='c'><rect width='40' height='24'/></clipPath>\
                  <symbol id='s'><rect width='80' height='24' fill='url(#l)'/></symbol></defs>\
                  <style>.a{filter:none;mask: none}</style>\
                  <g class='a' style='clip-path:url(#c);filter:none'><use xlink:href='#s'/></g>";
    // numbers without anything between, small ones with an exponent
    assert!(svg("<path d='M.5.5-1e-3A4 4 0 1 0 4e1 5.5z'/>").is_ok());
    let dashed = "<path d='M0 12H80' stroke='#000' stroke-width='9' stroke-dasharray='0.5 0.5'/>";
    assert!(svg(dashed).is_ok_and(|drawn| drawn.rgb().2.iter().any(|v| *v < 200)));
    let logo = svg(inside).expect("drawn");
    let (width, _, rgb) = logo.rgb();
    assert_eq!(rgb[..3], [255, 0, 0], "red where the gradient begins");
    assert_eq!(
        rgb[3 * (width as usize - 1)..][..3],
        [255; 3],
        "cut to the left half"
    );
}

#[test]
fn a_logo_that_is_drawn_already_is_taken_over_if_it_can_be_one() {
    let logo = Logo::from_rgb(2, 1, &[1, 2, 3, 4, 5, 6]).expect("a logo");
    assert_eq!(logo.rgb(), (2, 1, &[1, 2, 3, 4, 5, 6][..]));
    for (width, height, bytes) in [
        (0, 1, 0),
        (2, 1, 5),
        (401, 1, 1203),
        (1, 122, 366),
        (u32::MAX, u32::MAX, 3),
    ] {
        assert!(Logo::from_rgb(width, height, &vec![0; bytes]).is_none());
    }
}
