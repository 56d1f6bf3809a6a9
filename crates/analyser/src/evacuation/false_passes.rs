//! Every way that is known to get a pass that is not earned, and what stands against
//! it.
//!
//! A pass says: the target was reached, the hold was long enough, the ceiling was
//! kept, and the data show it. Whatever makes one of these untrue, or unknown, and
//! still gave a pass once, or could, has a row here. Tests named `gauge::`, `limits::`
//! and `context::` are in `tests/suite/false_passes/` of this crate, `verdicts::`
//! and `withdrawn::` beside them; `line::` are in `tests/command_line/unearned.rs`, and
//! `units::` in `crates/foreign-csv/tests/import_units.rs`.
//!
//! # The unit
//!
//! | how | what is said instead | test |
//! |---|---|---|
//! | the file is in bare psi, bar, inHg, "in", kg/cm², and 0 is the air outside | the unit is asked back, status 2 | `line::a_file_in_a_unit_of_both_kinds_is_asked_back`, `units::a_unit_of_both_kinds_of_pressure_is_asked_back` |
//! | the same words given by `--pressure-unit` | asked back | the same |
//! | a column in psig is said to be micron by an option | refused | `units::an_option_does_not_change_what_a_column_counts_from` |
//! | a gauge in mbar is read as micron: 250 mbar passes for 250 micron | not proven, `unit_doubtful` | `context::a_record_that_begins_like_the_air_in_another_unit_is_asked_back`, `line::the_wrong_unit_is_noticed_at_the_air_outside` |
//! | inches or psi are read as micron: all of the record lies below the target | not proven, `unit_doubtful` | `context::inches_and_psi_read_as_micron_are_asked_back` |
//! | Torr is read as micron, from the middle of a pull-down on: 0.9 Torr | not proven, `unit_doubtful` | `context::a_level_that_no_pump_reaches_is_asked_back` |
//! | nobody states the unit, and nobody sees that it was assumed | said beside the criteria, finding `unit_assumed` | `context::an_assumed_unit_is_said`, `line::an_assumed_unit_stands_on_the_sheet_and_in_the_review`, `line::a_gauge_without_a_unit_is_said_while_recording_and_after` |
//!
//! # The gauge
//!
//! | how | what is said instead | test |
//! |---|---|---|
//! | every value is 0, in whatever absolute unit | not proven, `gauge_too_coarse` | `gauge::zeros_from_start_to_end_prove_nothing`, `line::zeros_and_values_that_never_move_are_no_pass_in_any_absolute_unit` |
//! | a dead sensor clamped at 0, with some noise | not proven, `gauge_too_coarse` | `gauge::zeros_in_the_hold_prove_nothing_even_where_it_flickers` |
//! | one value from start to end | not proven, `gauge_too_coarse` | `gauge::one_value_from_start_to_end_proves_nothing` |
//! | the gauge moves in the pull-down and never in the hold | not proven, `gauge_too_coarse`, unless it came to rest in fine steps | `gauge::a_hold_that_never_moves_proves_nothing`, earned: `gauge::a_quiet_hold_on_a_fine_gauge_is_earned` |
//! | it freezes in the hold, flickering or in full pace | not proven, `gauge_too_coarse` | `gauge::a_reading_that_freezes_proves_nothing`, `gauge::a_fine_gauge_that_stops_in_full_pace_is_not` |
//! | it shows nothing below a floor under the ceiling | not proven, `gauge_too_coarse` | `gauge::a_gauge_that_shows_nothing_below_a_floor_proves_nothing`, `gauge::a_fine_gauge_at_its_lowest_value_has_to_have_slowed_down` |
//! | it says "below range" for much of the hold, as a broken wire does | not proven, `gauge_too_coarse` | `gauge::a_fifth_of_the_hold_below_the_range_proves_nothing` |
//! | its steps are large against the ceiling | not proven, `gauge_too_coarse` | `gauge::steps_up_to_a_tenth_of_the_ceiling_and_no_more` |
//! | it was faulty in the hold | not proven, `gauge_fault` | `verdicts::a_gauge_fault_in_the_hold_proves_nothing` |
//! | it left its range upwards in the hold | fail, `ceiling_exceeded` | `verdicts::a_range_left_at_once_breaks_the_ceiling_if_it_ends_above_it` |
//!
//! # Ceiling, target, length
//!
//! | how | what is said instead | test |
//! |---|---|---|
//! | the last two readings lie above the ceiling, or any two in a row | fail, `ceiling_exceeded` | `limits::two_readings_in_a_row_above_the_ceiling_are_never_a_pass`, `limits::two_readings_in_a_row_are_found_at_any_pace` |
//! | one step above the ceiling | fail; exactly at it passes | `limits::exactly_at_the_ceiling_passes_and_one_step_above_fails` |
//! | a burst touches the target | fail, `target_not_reached` | `limits::a_target_touched_by_one_reading_is_not_reached`, `limits::exactly_at_the_target_is_reached_and_one_step_above_is_not` |
//! | the hold is short by one reading | not proven, `hold_too_short` | `limits::one_reading_more_or_less_decides`, `limits::the_slack_is_what_clocks_leave_open` |
//! | a remark typed after the last reading lengthens the hold | not proven, `hold_too_short` | `limits::a_remark_typed_later_does_not_lengthen_the_hold` |
//! | the clock is set forward in the hold | not proven, `gap_in_hold` | `limits::a_clock_that_is_set_forward_does_not_lengthen_the_hold` |
//! | readings are missing in the hold | not proven, `gap_in_hold` | `verdicts::a_minute_missing_in_the_hold_proves_nothing` |
//! | three or four readings make the whole hold | not proven, `gap_in_hold` | `limits::a_handful_of_readings_is_no_hold` |
//! | criteria softer than common practice | the verdict stands, the headline and finding `criteria_softer` say so | `context::criteria_softer_than_common_practice_are_said`, `line::soft_criteria_stand_in_the_headline` |
//!
//! # What was done
//!
//! | how | what is said instead | test |
//! |---|---|---|
//! | the manifold cut the gauge off from the system | not proven, `gauge_shut_off` | `context::a_gauge_that_the_manifold_cut_off_proves_nothing`, `context::the_manifold_counts_from_the_last_opening_and_unless_taken_back`, `line::a_manifold_that_was_shut_asks_for_an_open_gauge` |
//! | the pump was stopped with its valve open | not proven, `pump_open_at_stop` | `context::a_pump_stopped_before_its_valve_proves_nothing` |
//! | `--isolated-at` names a time outside of the record | an error, status 2 | `line::an_isolation_outside_of_the_record_is_an_error` |
//! | the valve left no trace and no mark: the pump may have run on | not proven, `no_isolation` | `verdicts::a_valve_that_leaves_no_trace_and_no_mark_is_no_isolation` |
//! | the mark of the valve was taken back | judged as if never stamped | `withdrawn::` |
//! | only one side was evacuated | finding `one_side_evacuated`; a rise is never called a leak for it | `context::one_side_evacuated_is_said_and_no_leak_is_blamed` |
//! | ice: an iced part at −25 °C holds at 475 micron (IAPWS R14-08), below the ceiling | not proven, `ice_possible`, where the job gives the coldest part (`coldest_part_c`) and the level fits | `context::a_hold_at_the_level_of_ice_is_not_a_plain_pass` |
//!
//! # Not closed
//!
//! | how | why it stays open |
//! |---|---|
//! | ice, where nobody says how cold the coldest part is | a curve at that level is also a good one; what ice would look like is said |
//! | the valve was stamped shut and is not, with the pump running: a level hold | the curve is the same; where the pressure falls by more than 15 % the finding `pressure_falls` says so |
//! | two units within a factor of 1.5 are taken for one another (Torr and mbar) | 760 mbar is the air at 2,400 m |
//! | equalisation above the ceiling in the first seconds, at most 150 s | the ceiling counts once the hold has settled |
