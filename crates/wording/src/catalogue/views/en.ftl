# What the views of a recording add to the words of the live model: English, the
# reference. One file of messages with en.ftl.

## Screen of a terminal

screen-invented = invented data
screen-loading = reading { $percent } %
screen-playing = playing { $at } of { $end }
screen-finished = finished run { $at } of { $end }
screen-recording = recording { $at }
screen-ended = ended { $at }
screen-hold = HOLD { $held } of { $needed }
screen-target = target { $pressure }: { $words }
screen-target-label = target
screen-round = round { $number }
screen-stall = STALL: { $kind } near { $level } for { $time }
screen-met = CRITERIA MET: { $answer }
screen-fails = FAILS: { $answer }
screen-not-proven = NOT PROVEN: { $answer }
screen-check = CHECK: { $warning }
screen-caution = Caution: { $caution }
screen-nothing-stamped = Nothing stamped yet.
screen-gauge = Gauge { $state }
screen-last = last { $age } ago
screen-reconnects = { $count ->
    [one] { $count } reconnect
   *[other] { $count } reconnects
}
screen-unreadable = { $count } unreadable
screen-lost = { $count ->
    [one] { $count } line lost
   *[other] { $count } lines lost
}
screen-rows = { $rows } rows in the record
screen-stands-still = THE RECORDING STANDS STILL for { $time }: does the disk answer?
screen-disk-takes = Saving: OK, { $rows } rows
screen-disk-trouble = Disk: { $trouble }
screen-disk-refuses = Disk { $trouble }
screen-waiting-rows = { $rows } being written
screen-free = { $size } free
screen-comes-next = What usually comes next
screen-gauge-and-disk = Gauge and disk
screen-stamped = Stamped
screen-nothing-yet = nothing yet
screen-happened = What happened
screen-back = Any key leads back.
screen-decide = Local codes, licensed practice and the maker's instructions decide.
screen-this-run = This run
screen-goes-on = Without this terminal the recording goes on: dryhold show looks at it, dryhold stop ends it.
screen-opened-to-pump = valve opened to the pump
screen-take-back = take the last mark back
screen-type-remark = type a remark
screen-this-page = this page
screen-stop-asks = stop (asks first)
screen-remark = Remark:
screen-remark-keys = Enter keeps it, Esc drops it
screen-keys = o open s shut p pump off { $manifold }n nitrogen t throttle b/g ballast h heat u undo r remark i info q stop
screen-key-manifold = m manifold
screen-keys-pressure = f pressurised e supply shut v vented u undo r remark i info q stop
screen-keys-back = left/right step page up/down leap home/end start/end space play i info q leave
screen-key-page = c phone
screen-key-leave = d leave
screen-how-to-leave = Close this terminal and the recording goes on; dryhold show has it again, dryhold stop ends it.
screen-no-page = No page: --view-lan gives one to phones.
screen-no-such-key = { $key } stamps nothing.
screen-no-manifold = m is offered only where the job says gauge_open_to_system = true.
screen-was-stamped = Stamped: { $mark }. u takes it back.
screen-no-remark = No remark.
screen-remark-kept = Remark kept.
screen-not-suspended = Not suspended: that would stop the recording. Use another terminal.
screen-compare = The browser warns once. Look at the certificate there; go on only if its SHA-256 fingerprint is
screen-page-at = Any key leads back. The page is at
screen-no-signs = This terminal has no signs to draw its code for the camera.
screen-code-size = Its code for the camera takes { $columns } × { $rows }.
screen-look-on = To look on only, without stamping marks:
screen-takes = All of it takes { $columns } × { $rows }.

## Sentences printed one by one

spoken-more = More happened than is still known.
spoken-hold = Hold, { $clock }: { $answer }
spoken-pull-down = Pull-down, target { $words }
spoken-ask = An empty line says how things stand.
typed-marks = Stop with Ctrl-C. To stamp a mark, type its letter and Enter: { $marks }, u takes the last mark back, or a remark.

## Keys that could cost a hold

question-shut-again = The pump-side valve is stamped shut already, at { $at }, and the hold has lasted { $held }. Begin a new hold?
question-undo-hold = Take back “{ $mark }” of { $at }? The hold of { $held } rests on it.
question-stop = Stop recording?
question-stop-hold = Stop recording? The hold has lasted { $held } of { $needed }.
question-answer-key = y yes, any other key no
question-answer-line = Type y and Enter for yes; anything else means no.
question-answered-no = Nothing was changed.
screen-taking-back = Taking back: { $mark } ({ $at }).
screen-nothing-to-undo = There is no mark to take back.

## What is wrong with the reading now

trouble-word-no-reading = NO READING
trouble-word-lost = GAUGE LOST
trouble-word-over = OVER RANGE
trouble-word-fault = GAUGE FAULT
trouble-word-unreadable = UNREADABLE
trouble-no-reading = No reading for { $time }: check the gauge's power and cable.
trouble-lost = The gauge has been lost for { $time }: check cable and plug. The program keeps trying, and the record goes on.
trouble-over = Above the gauge's range for { $time }. This is usual until the pump has taken most of the air out.
trouble-over-hold = Above the gauge's range for { $time }: the system fills, or the gauge was valved off.
trouble-fault = The gauge has reported a fault for { $time }: look at its display, sensor and cable.
trouble-unreadable = For { $time } the gauge has sent what its format does not explain: is --dialect right? dryhold listen shows what comes.
trouble-heard = Heard: { $line }
trouble-hold = Hold interrupted for { $time }: once the gauge reads again, start the hold again with s.
warn-hold-interrupted = The hold was interrupted for { $time } and proves nothing: start the hold again with s.
advice-hold-again = Start the hold again with s; the valves stay as they are.
