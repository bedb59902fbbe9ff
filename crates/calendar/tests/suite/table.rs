//! Tables of charters.

use calendar::{DateOrder, Party, Reading, Weight, read_csv, read_csv_with};

#[test]
fn three_separators_and_quotes() {
    for mark in [',', ';', '\t'] {
        let rows = [
            "\u{feff}boat|from|until|party|adults|children|note|reference",
            "Whimbrel|2026-07-04|2026-07-10|6|4|2|\"Late tide| see \"\"note\"\"\n second line\"|C-1042",
            "Dunlin|2026-07-04 15:00|2026-07-11T09:00Z||||",
        ];
        let text = rows.join("\r\n").replace('|', &mark.to_string());
        let read = read_csv(text.as_bytes(), &crate::zone());
        assert!(read.remarks.is_empty(), "{:?}", read.remarks);
        let [whimbrel, dunlin] = &read.bookings[..] else { panic!("two rows") };
        assert_eq!(whimbrel.party, Party { heads: Some(6), adults: Some(4), children: Some(2) });
        assert_eq!(whimbrel.note, format!("Late tide{mark} see \"note\"\n second line"));
        assert_eq!((whimbrel.uid.as_str(), whimbrel.reference.as_str()), ("C-1042", "C-1042"));
        // Maine is four hours behind UTC in July; the last day is in.
        assert_eq!(whimbrel.start.to_string(), "2026-07-04T04:00:00Z");
        assert_eq!(whimbrel.end.to_string(), "2026-07-11T04:00:00Z");
        assert_eq!(dunlin.start.to_string(), "2026-07-04T19:00:00Z");
        assert_eq!(dunlin.end.to_string(), "2026-07-11T09:00:00Z");
        assert_eq!((whimbrel.source_line, dunlin.source_line), (2, 4));
    }
}

#[test]
fn an_ambiguous_date_is_refused_until_its_order_is_told() {
    let text = "boat,from,until\nWhimbrel,03/04/2026,05/04/2026\n";
    let read = read_csv(text.as_bytes(), &crate::zone());
    assert_eq!((read.found, read.unread, read.bookings.len()), (1, 1, 0));
    let remark = &read.remarks[0];
    assert_eq!((remark.line, remark.column, remark.weight), (2, Some(2), Weight::Error));
    assert!(remark.wrong.contains("two different days"));
    for (order, start) in
        [(DateOrder::DayMonthYear, "2026-04-03T04:00:00Z"), (DateOrder::MonthDayYear, "2026-03-04T05:00:00Z")]
    {
        let reading = Reading { date_order: Some(order) };
        let read = read_csv_with(text.as_bytes(), &crate::zone(), reading);
        assert_eq!(read.bookings[0].start.to_string(), start);
    }
}

#[test]
fn bad_rows_are_told_by_line_and_column_and_good_ones_read() {
    let text = "boat,from,until,party\n,2026-07-04,2026-07-05,\nWhimbrel,2026-02-30,2026-03-02,\n\
                Dunlin,2026-07-04,2026-07-03,\nDunlin,2026-07-04,2026-07-05 10:00,\n\
                Dunlin,2026-07-04,2026-07-05,many\nDunlin,2026-07-04,2026-07-05,4,extra\n";
    let read = read_csv(text.as_bytes(), &crate::zone());
    let places: Vec<(usize, Option<usize>)> = read.remarks.iter().map(|r| (r.line, r.column)).collect();
    assert_eq!(places, [(2, Some(1)), (3, Some(2)), (4, Some(3)), (5, Some(3)), (6, Some(4)), (7, Some(5))]);
    assert_eq!((read.found, read.unread, read.bookings.len()), (6, 5, 1));
}

#[test]
fn a_table_without_its_columns_is_told() {
    let read = read_csv(b"ship,from\nWhimbrel,2026-07-04\n", &crate::zone());
    assert_eq!((read.found, read.unread), (1, 1));
    let errors = read.remarks.iter().filter(|r| r.weight == Weight::Error).count();
    assert_eq!(errors, 2, "{:?}", read.remarks);
}

#[test]
fn a_quote_left_open_is_told() {
    let text = b"boat,from,until,note\nDunlin,2026-07-04,2026-07-05,\nWhimbrel,2026-07-04,2026-07-05,\"late\nDunlin,x,y,z\n";
    let read = read_csv(text, &crate::zone());
    assert_eq!((read.bookings.len(), read.unread, read.remarks[0].line), (1, 1, 3));
}

#[test]
fn bytes_that_are_not_utf8_are_told() {
    let read = read_csv(b"boat,from,until,note\nDunlin,2026-07-04,2026-07-05,caf\xe9\n", &crate::zone());
    assert_eq!((read.remarks[0].line, read.bookings.len()), (2, 1));
}

#[test]
fn a_stay_called_off() {
    let text = "boat,from,until,cancelled\nDunlin,2026-07-04,2026-07-05,yes\nDunlin,2026-07-06,2026-07-07,no\n\
                Dunlin,2026-07-08,2026-07-09,maybe\n";
    let read = read_csv(text.as_bytes(), &crate::zone());
    assert_eq!(read.bookings.iter().map(|booking| booking.cancelled).collect::<Vec<_>>(), [true, false]);
    assert_eq!((read.unread, read.remarks[0].line, read.remarks[0].column), (1, 4, Some(4)));
}
