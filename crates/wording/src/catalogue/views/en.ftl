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
screen-disk-takes = Disk takes rows: { $rows }
screen-disk-trouble = Disk: { $trouble }
screen-disk-refuses = Disk { $trouble }
screen-waiting-rows = { $rows } not yet safe
screen-free = { $size } free
screen-comes-next = What usually comes next
screen-gauge-and-disk = Gauge and disk
screen-stamped = Stamped
screen-nothing-yet = nothing yet
screen-happened = What happened
screen-back = Any key leads back.
screen-decide = Local codes, licensed practice and the maker's instructions decide.
screen-this-run = This run
screen-goes-on = Without this terminal recording goes on; to stop it then: kill -INT { $process }
screen-opened-to-pump = valve opened to the pump
screen-manifold-shut = manifold valves shut
screen-take-back = take the last mark back
screen-type-remark = type a remark
screen-this-page = this page
screen-stop-asks = stop (asks first)
screen-remark = Remark:
screen-remark-keys = Enter keeps it, Esc drops it
screen-ask-stop = Stop recording? y stops, any other key goes on
screen-keys = o open s shut p pump off m manifold n nitrogen t throttle b ballast h heat u undo r remark i info q stop
screen-keys-back = left/right step page up/down leap home/end start/end space play i info q leave
screen-key-page = c phone
screen-no-page = No page: --view-lan gives one to phones.
screen-no-such-key = { $key } stamps nothing.
screen-was-stamped = Stamped: { $mark }. u takes it back.
screen-still-records = The recording goes on.
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
typed-marks = Stop with Ctrl-C. To stamp a mark, type its letter and Enter: s pump-side valve shut, p pump stopped, m manifold valves shut, o valve opened, n nitrogen break, t throttled, b ballast, h heat, u takes the last mark back, or a remark.
