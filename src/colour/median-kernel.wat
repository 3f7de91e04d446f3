;; Median of $count doubles from $at on (bytes), which are put into another order: of an even number the mean of the two
;; middle ones, not a number of none. Selection by parts, without a branch an element: which side one falls to is not to be guessed.
(module
  (import "env" "memory" (memory 1))
  (func (export "median") (param $at i32) (param $count i32) (result f64)
    (local $target i32) (local $low i32) (local $high i32) (local $one i32) (local $below i32)
    (local $a f64) (local $b f64) (local $pivot f64) (local $value f64)
    (if (i32.eqz (local.get $count)) (then (return (f64.const nan))))
    (local.set $target (i32.add (local.get $at) (i32.shl (i32.shr_u (local.get $count) (i32.const 1)) (i32.const 3))))
    (local.set $low (local.get $at))
    (local.set $high (i32.add (local.get $at) (i32.shl (local.get $count) (i32.const 3))))
    (block $found
      (loop $narrow
        (br_if $found (i32.le_u (i32.sub (local.get $high) (local.get $low)) (i32.const 8)))
        ;; the middle one of first, middle and last
        (local.set $a (f64.load (local.get $low)))
        (local.set $b (f64.load (i32.add (local.get $low)
          (i32.and (i32.shr_u (i32.sub (local.get $high) (local.get $low)) (i32.const 1)) (i32.const -8)))))
        (local.set $pivot (f64.max (f64.min (local.get $a) (local.get $b))
          (f64.min (f64.max (local.get $a) (local.get $b)) (f64.load (i32.sub (local.get $high) (i32.const 8))))))
        ;; smaller ones first
        (local.set $one (local.get $low))
        (local.set $below (local.get $low))
        (loop $each
          (local.set $value (f64.load (local.get $one)))
          (f64.store (local.get $one) (f64.load (local.get $below)))
          (f64.store (local.get $below) (local.get $value))
          (local.set $below (i32.add (local.get $below) (i32.shl (f64.lt (local.get $value) (local.get $pivot)) (i32.const 3))))
          (br_if $each (i32.lt_u (local.tee $one (i32.add (local.get $one) (i32.const 8))) (local.get $high))))
        (if (i32.lt_u (local.get $target) (local.get $below))
          (then
            (local.set $high (local.get $below))
            (br $narrow)))
        ;; of the others, those like the pivot first
        (local.set $low (local.get $below))
        (local.set $one (local.get $below))
        (loop $each
          (local.set $value (f64.load (local.get $one)))
          (f64.store (local.get $one) (f64.load (local.get $below)))
          (f64.store (local.get $below) (local.get $value))
          (local.set $below (i32.add (local.get $below) (i32.shl (f64.le (local.get $value) (local.get $pivot)) (i32.const 3))))
          (br_if $each (i32.lt_u (local.tee $one (i32.add (local.get $one) (i32.const 8))) (local.get $high))))
        (br_if $found (i32.lt_u (local.get $target) (local.get $below)))
        (local.set $low (local.get $below))
        (br $narrow)))
    (local.set $value (f64.load (local.get $target)))
    (if (i32.and (local.get $count) (i32.const 1)) (then (return (local.get $value))))
    (local.set $a (f64.load (local.get $at)))
    (loop $largest
      (local.set $a (f64.max (local.get $a) (f64.load (local.get $at))))
      (br_if $largest (i32.lt_u (local.tee $at (i32.add (local.get $at) (i32.const 8))) (local.get $target))))
    (f64.div (f64.add (local.get $a) (local.get $value)) (f64.const 2)))
)
