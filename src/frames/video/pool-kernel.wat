;; Means over blocks of pixels of planar Y'CbCr, turned into R'G'B', sixteen bytes at a time. All sums are exact and the
;; rest is done in doubles in the order of pool-planes.ts, so that both give the same bits.
(module
  (import "env" "memory" (memory 1))

  ;; $rows rows of samples from $from, $stride bytes apart, summed over blocks $across (1, 2, 4, 8) samples wide into $count
  ;; 32-bit sums at $to. $deep: samples of 16 bits. The last step reaches back rather than past the end: $count >= 8.
  (func $sums (param $from i32) (param $stride i32) (param $rows i32) (param $across i32) (param $count i32) (param $deep i32) (param $to i32)
    (local $step i32) (local $block i32) (local $at i32) (local $row i32) (local $sum v128) (local $bytes i32) (local $out i32)
    ;; blocks a step
    (local.set $step
      (if (result i32) (local.get $deep)
        (then (select (i32.const 4) (i32.div_u (i32.const 8) (local.get $across)) (i32.eq (local.get $across) (i32.const 1))))
        (else (select (i32.const 8) (i32.div_u (i32.const 16) (local.get $across)) (i32.eq (local.get $across) (i32.const 1))))))
    (local.set $bytes (i32.shl (local.get $across) (local.get $deep)))
    (loop $steps
      (local.set $at (i32.add (local.get $from) (i32.mul (local.get $block) (local.get $bytes))))
      (local.set $out (i32.add (local.get $to) (i32.shl (local.get $block) (i32.const 2))))
      (local.set $row (local.get $rows))
      (local.set $sum (v128.const i64x2 0 0))
      (if (local.get $deep)
        (then
          (if (i32.eq (local.get $across) (i32.const 1))
            (then
              (loop $down
                (local.set $sum (i32x4.add (local.get $sum) (v128.load16x4_u align=1 (local.get $at))))
                (local.set $at (i32.add (local.get $at) (local.get $stride)))
                (br_if $down (local.tee $row (i32.sub (local.get $row) (i32.const 1))))))
            (else
              (loop $down
                (local.set $sum (i32x4.add (local.get $sum) (i32x4.extadd_pairwise_i16x8_u (v128.load align=1 (local.get $at)))))
                (local.set $at (i32.add (local.get $at) (local.get $stride)))
                (br_if $down (local.tee $row (i32.sub (local.get $row) (i32.const 1)))))))
          (if (i32.ge_u (local.get $across) (i32.const 4))
            (then (local.set $sum (call $fold (local.get $sum)))))
          (if (i32.eq (local.get $across) (i32.const 8))
            (then (i32.store (local.get $out) (i32x4.extract_lane 0 (call $fold (local.get $sum)))))
            (else
              (if (i32.eq (local.get $across) (i32.const 4))
                (then (i64.store align=4 (local.get $out) (i64x2.extract_lane 0 (local.get $sum))))
                (else (v128.store align=4 (local.get $out) (local.get $sum)))))))
        (else
          (if (i32.eq (local.get $across) (i32.const 1))
            (then
              (loop $down
                (local.set $sum (i16x8.add (local.get $sum) (v128.load8x8_u align=1 (local.get $at))))
                (local.set $at (i32.add (local.get $at) (local.get $stride)))
                (br_if $down (local.tee $row (i32.sub (local.get $row) (i32.const 1))))))
            (else
              (loop $down
                (local.set $sum (i16x8.add (local.get $sum) (i16x8.extadd_pairwise_i8x16_u (v128.load align=1 (local.get $at)))))
                (local.set $at (i32.add (local.get $at) (local.get $stride)))
                (br_if $down (local.tee $row (i32.sub (local.get $row) (i32.const 1)))))))
          (if (i32.le_u (local.get $across) (i32.const 2))
            (then
              (v128.store align=4 (local.get $out) (i32x4.extend_low_i16x8_u (local.get $sum)))
              (v128.store offset=16 align=4 (local.get $out) (i32x4.extend_high_i16x8_u (local.get $sum))))
            (else
              (local.set $sum (i32x4.extadd_pairwise_i16x8_u (local.get $sum)))
              (if (i32.eq (local.get $across) (i32.const 4))
                (then (v128.store align=4 (local.get $out) (local.get $sum)))
                (else (i64.store align=4 (local.get $out) (i64x2.extract_lane 0 (call $fold (local.get $sum))))))))))
      (local.set $block (i32.add (local.get $block) (local.get $step)))
      (if (i32.lt_u (local.get $block) (local.get $count))
        (then
          (if (i32.gt_u (i32.add (local.get $block) (local.get $step)) (local.get $count))
            (then (local.set $block (i32.sub (local.get $count) (local.get $step)))))
          (br $steps)))))

  ;; a b c d -> a+b c+d 0 0
  (func $fold (param $v v128) (result v128)
    (i32x4.add
      (i8x16.shuffle 0 1 2 3 8 9 10 11 16 17 18 19 16 17 18 19 (local.get $v) (v128.const i64x2 0 0))
      (i8x16.shuffle 4 5 6 7 12 13 14 15 16 17 18 19 16 17 18 19 (local.get $v) (v128.const i64x2 0 0))))

  ;; One row of blocks: sums at $luma, $cb, $cr to floats at $red, $green, $blue; factors of doubles at $factors:
  ;; dark, luma, grey, redCr, greenCb, greenCr, blueCb.
  (func $colours (param $luma i32) (param $cb i32) (param $cr i32) (param $count i32) (param $factors i32) (param $red i32) (param $green i32) (param $blue i32)
    (local $block i32) (local $at i32)
    (local $dark v128) (local $scale v128) (local $grey v128) (local $redCr v128) (local $greenCb v128) (local $greenCr v128) (local $blueCb v128)
    (local $l v128) (local $b v128) (local $r v128) (local $l2 v128) (local $b2 v128) (local $r2 v128)
    (local.set $dark (v128.load64_splat (local.get $factors)))
    (local.set $scale (v128.load64_splat offset=8 (local.get $factors)))
    (local.set $grey (v128.load64_splat offset=16 (local.get $factors)))
    (local.set $redCr (v128.load64_splat offset=24 (local.get $factors)))
    (local.set $greenCb (v128.load64_splat offset=32 (local.get $factors)))
    (local.set $greenCr (v128.load64_splat offset=40 (local.get $factors)))
    (local.set $blueCb (v128.load64_splat offset=48 (local.get $factors)))
    (loop $steps
      (local.set $at (i32.shl (local.get $block) (i32.const 2)))
      (local.set $l2 (v128.load align=4 (i32.add (local.get $luma) (local.get $at))))
      (local.set $b2 (v128.load align=4 (i32.add (local.get $cb) (local.get $at))))
      (local.set $r2 (v128.load align=4 (i32.add (local.get $cr) (local.get $at))))
      (local.set $l (f64x2.mul (f64x2.sub (f64x2.convert_low_i32x4_s (local.get $l2)) (local.get $dark)) (local.get $scale)))
      (local.set $b (f64x2.sub (f64x2.convert_low_i32x4_s (local.get $b2)) (local.get $grey)))
      (local.set $r (f64x2.sub (f64x2.convert_low_i32x4_s (local.get $r2)) (local.get $grey)))
      (local.set $l2 (f64x2.mul (f64x2.sub (f64x2.convert_low_i32x4_s (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $l2) (local.get $l2))) (local.get $dark)) (local.get $scale)))
      (local.set $b2 (f64x2.sub (f64x2.convert_low_i32x4_s (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $b2) (local.get $b2))) (local.get $grey)))
      (local.set $r2 (f64x2.sub (f64x2.convert_low_i32x4_s (i8x16.shuffle 8 9 10 11 12 13 14 15 0 1 2 3 4 5 6 7 (local.get $r2) (local.get $r2))) (local.get $grey)))
      (v128.store align=4 (i32.add (local.get $red) (local.get $at)) (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23
        (f32x4.demote_f64x2_zero (f64x2.add (local.get $l) (f64x2.mul (local.get $redCr) (local.get $r))))
        (f32x4.demote_f64x2_zero (f64x2.add (local.get $l2) (f64x2.mul (local.get $redCr) (local.get $r2))))))
      (v128.store align=4 (i32.add (local.get $green) (local.get $at)) (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23
        (f32x4.demote_f64x2_zero (f64x2.add (f64x2.add (local.get $l) (f64x2.mul (local.get $greenCb) (local.get $b))) (f64x2.mul (local.get $greenCr) (local.get $r))))
        (f32x4.demote_f64x2_zero (f64x2.add (f64x2.add (local.get $l2) (f64x2.mul (local.get $greenCb) (local.get $b2))) (f64x2.mul (local.get $greenCr) (local.get $r2))))))
      (v128.store align=4 (i32.add (local.get $blue) (local.get $at)) (i8x16.shuffle 0 1 2 3 4 5 6 7 16 17 18 19 20 21 22 23
        (f32x4.demote_f64x2_zero (f64x2.add (local.get $l) (f64x2.mul (local.get $blueCb) (local.get $b))))
        (f32x4.demote_f64x2_zero (f64x2.add (local.get $l2) (f64x2.mul (local.get $blueCb) (local.get $b2))))))
      (local.set $block (i32.add (local.get $block) (i32.const 4)))
      (if (i32.lt_u (local.get $block) (local.get $count))
        (then
          (if (i32.gt_u (i32.add (local.get $block) (i32.const 4)) (local.get $count))
            (then (local.set $block (i32.sub (local.get $count) (i32.const 4)))))
          (br $steps)))))

  ;; A piece of a region: $count blocks across, $rows rows of them. Bytes: $luma, $cb, $cr where its planes begin, strides of
  ;; samples' rows in bytes, $out how far the floats of one row are from those of the next. $scratch: room for 3 x $count sums.
  (func (export "pool") (param $luma i32) (param $lumaStride i32) (param $cb i32) (param $cr i32) (param $chromaStride i32)
    (param $side i32) (param $across i32) (param $down i32) (param $deep i32) (param $count i32) (param $rows i32)
    (param $factors i32) (param $scratch i32) (param $red i32) (param $green i32) (param $blue i32) (param $out i32)
    (local $second i32) (local $third i32)
    (local.set $second (i32.add (local.get $scratch) (i32.shl (local.get $count) (i32.const 2))))
    (local.set $third (i32.add (local.get $second) (i32.shl (local.get $count) (i32.const 2))))
    (loop $lines
      (call $sums (local.get $luma) (local.get $lumaStride) (local.get $side) (local.get $side) (local.get $count) (local.get $deep) (local.get $scratch))
      (call $sums (local.get $cb) (local.get $chromaStride) (local.get $down) (local.get $across) (local.get $count) (local.get $deep) (local.get $second))
      (call $sums (local.get $cr) (local.get $chromaStride) (local.get $down) (local.get $across) (local.get $count) (local.get $deep) (local.get $third))
      (call $colours (local.get $scratch) (local.get $second) (local.get $third) (local.get $count) (local.get $factors) (local.get $red) (local.get $green) (local.get $blue))
      (local.set $luma (i32.add (local.get $luma) (i32.mul (local.get $lumaStride) (local.get $side))))
      (local.set $cb (i32.add (local.get $cb) (i32.mul (local.get $chromaStride) (local.get $down))))
      (local.set $cr (i32.add (local.get $cr) (i32.mul (local.get $chromaStride) (local.get $down))))
      (local.set $red (i32.add (local.get $red) (local.get $out)))
      (local.set $green (i32.add (local.get $green) (local.get $out)))
      (local.set $blue (i32.add (local.get $blue) (local.get $out)))
      (br_if $lines (local.tee $rows (i32.sub (local.get $rows) (i32.const 1))))))
)
