;; The two inner loops of patch-registration.ts, in its order, so that both give the same bits.
(module
  (import "env" "memory" (memory 1))

  ;; Bilinear samples of $width x $height from $grey on (floats, rows $stride bytes apart), $fx and $fy of a sample off, to $into;
  ;; their sum and the sum of their squares at $out.
  (func (export "sample") (param $grey i32) (param $stride i32) (param $width i32) (param $height i32)
    (param $fx f64) (param $fy f64) (param $into i32) (param $out i32)
    (local $at i32) (local $end i32) (local $below i32)
    (local $sum f64) (local $squares f64) (local $left f64) (local $under f64) (local $right f64) (local $rightUnder f64) (local $value f64)
    (loop $rows
      (local.set $at (local.get $grey))
      (local.set $end (i32.add (local.get $grey) (i32.shl (local.get $width) (i32.const 2))))
      (local.set $left (f64.promote_f32 (f32.load (local.get $at))))
      (local.set $under (f64.promote_f32 (f32.load (i32.add (local.get $at) (local.get $stride)))))
      (loop $columns
        (local.set $below (i32.add (local.get $at) (local.get $stride)))
        (local.set $right (f64.promote_f32 (f32.load offset=4 (local.get $at))))
        (local.set $rightUnder (f64.promote_f32 (f32.load offset=4 (local.get $below))))
        (local.set $left (f64.add (local.get $left) (f64.mul (local.get $fx) (f64.sub (local.get $right) (local.get $left)))))
        (local.set $under (f64.add (local.get $under) (f64.mul (local.get $fx) (f64.sub (local.get $rightUnder) (local.get $under)))))
        (local.set $value (f64.add (local.get $left) (f64.mul (local.get $fy) (f64.sub (local.get $under) (local.get $left)))))
        (f32.store (local.get $into) (f32.demote_f64 (local.get $value)))
        (local.set $sum (f64.add (local.get $sum) (local.get $value)))
        (local.set $squares (f64.add (local.get $squares) (f64.mul (local.get $value) (local.get $value))))
        (local.set $left (local.get $right))
        (local.set $under (local.get $rightUnder))
        (local.set $into (i32.add (local.get $into) (i32.const 4)))
        (br_if $columns (i32.lt_u (local.tee $at (i32.add (local.get $at) (i32.const 4))) (local.get $end))))
      (local.set $grey (i32.add (local.get $grey) (local.get $stride)))
      (br_if $rows (local.tee $height (i32.sub (local.get $height) (i32.const 1)))))
    (f64.store (local.get $out) (local.get $sum))
    (f64.store offset=8 (local.get $out) (local.get $squares)))

  ;; $count samples less $mean times $factor against the template's grey and gradients (floats): at $out the sums of the
  ;; products of gradient and error across and down, and of sample and template.
  (func (export "compare") (param $patch i32) (param $grey i32) (param $across i32) (param $down i32) (param $count i32)
    (param $mean f64) (param $factor f64) (param $out i32)
    (local $at i32) (local $end i32) (local $value f64) (local $template f64) (local $error f64)
    (local $sumX f64) (local $sumY f64) (local $product f64)
    (local.set $end (i32.shl (local.get $count) (i32.const 2)))
    (loop $samples
      (local.set $value (f64.mul (f64.sub (f64.promote_f32 (f32.load (i32.add (local.get $patch) (local.get $at)))) (local.get $mean)) (local.get $factor)))
      (local.set $template (f64.promote_f32 (f32.load (i32.add (local.get $grey) (local.get $at)))))
      (local.set $error (f64.sub (local.get $value) (local.get $template)))
      (local.set $sumX (f64.add (local.get $sumX) (f64.mul (f64.promote_f32 (f32.load (i32.add (local.get $across) (local.get $at)))) (local.get $error))))
      (local.set $sumY (f64.add (local.get $sumY) (f64.mul (f64.promote_f32 (f32.load (i32.add (local.get $down) (local.get $at)))) (local.get $error))))
      (local.set $product (f64.add (local.get $product) (f64.mul (local.get $value) (local.get $template))))
      (br_if $samples (i32.lt_u (local.tee $at (i32.add (local.get $at) (i32.const 4))) (local.get $end))))
    (f64.store (local.get $out) (local.get $sumX))
    (f64.store offset=8 (local.get $out) (local.get $sumY))
    (f64.store offset=16 (local.get $out) (local.get $product)))
)
