// The dock: steppers for counts, signatures, photos made small before they are sent, items found by name.
(() => {
  /** Buttons that count up and down, and one for as many as are listed. */
  const startSteppers = () => {
    for (const stepper of document.querySelectorAll("[data-stepper]")) {
      const field = stepper.querySelector("input");
      const set = (value) => {
        field.value = Math.min(9999, Math.max(0, value));
        field.dispatchEvent(new Event("input", { bubbles: true }));
      };
      for (const button of stepper.querySelectorAll("button[hidden]")) {
        button.hidden = false;
        button.addEventListener("click", () => {
          if (button.dataset.all !== undefined) return set(Number(button.dataset.all));
          const now = field.value === "" ? 0 : Math.trunc(Number(field.value)) || 0;
          return set(now + Number(button.dataset.step));
        });
      }
    }
  };

  const MOST_POINTS = 5500;

  /** A signature is drawn with a finger, a pen or a mouse; its strokes go along as text. */
  const startSignature = () => {
    const form = document.querySelector("form[data-sign]");
    const box = form?.querySelector("[data-draw]");
    const pad = form?.querySelector("[data-pad]");
    const field = form?.querySelector("[data-strokes]");
    if (!box || !pad || !field) return;
    box.hidden = false;
    let strokes = [];
    let stroke = null;
    let points = 0;

    const ink = () => getComputedStyle(pad).color;
    const scale = () => pad.width / 1000;
    const fit = () => {
      const ratio = window.devicePixelRatio || 1;
      pad.width = Math.max(1, Math.round(pad.clientWidth * ratio));
      pad.height = Math.max(1, Math.round(pad.clientHeight * ratio));
      draw();
    };
    const line = (pen, from, to) => {
      pen.beginPath();
      pen.moveTo(from[0] * scale(), from[1] * scale());
      pen.lineTo(to[0] * scale(), to[1] * scale());
      pen.stroke();
    };
    const pen = () => {
      const pen = pad.getContext("2d");
      pen.strokeStyle = ink();
      pen.lineWidth = 6 * scale();
      pen.lineCap = "round";
      pen.lineJoin = "round";
      return pen;
    };
    const draw = () => {
      const p = pen();
      p.clearRect(0, 0, pad.width, pad.height);
      for (const one of strokes) one.forEach((at, n) => line(p, one[Math.max(0, n - 1)], at));
    };
    const keep = () => {
      field.value = strokes.length === 0 ? "" : JSON.stringify(strokes);
    };
    // Thousandths of the field's width, from its upper left corner.
    const place = (event) => {
      const frame = pad.getBoundingClientRect();
      const part = (value) => Math.max(0, Math.round((value / frame.width) * 1000));
      return [Math.min(1000, part(event.clientX - frame.left)), Math.min(2000, part(event.clientY - frame.top))];
    };

    pad.addEventListener("pointerdown", (event) => {
      if (!event.isPrimary || points >= MOST_POINTS || strokes.length >= 190) return;
      event.preventDefault();
      pad.setPointerCapture(event.pointerId);
      stroke = [place(event)];
      strokes.push(stroke);
      points += 1;
      line(pen(), stroke[0], stroke[0]);
      keep();
    });
    pad.addEventListener("pointermove", (event) => {
      if (!stroke || !event.isPrimary || points >= MOST_POINTS) return;
      const at = place(event);
      const last = stroke[stroke.length - 1];
      if (Math.hypot(at[0] - last[0], at[1] - last[1]) < 4) return;
      stroke.push(at);
      points += 1;
      line(pen(), last, at);
    });
    const end = () => {
      if (!stroke) return;
      stroke = null;
      keep();
    };
    pad.addEventListener("pointerup", end);
    pad.addEventListener("pointercancel", end);
    form.querySelector("[data-clear]")?.addEventListener("click", () => {
      strokes = [];
      stroke = null;
      points = 0;
      keep();
      draw();
    });
    form.addEventListener("submit", end);
    window.addEventListener("resize", fit);
    try {
      const before = JSON.parse(field.value || "[]");
      if (Array.isArray(before)) strokes = before.filter((one) => Array.isArray(one) && one.length > 0);
      points = strokes.reduce((sum, one) => sum + one.length, 0);
    } catch {
      strokes = []; // What was kept can't be read: it is drawn again.
    }
    fit();
  };

  const SIDE = 1600;

  /** One photo made smaller; the same one if that can't be done, since the base does it too. */
  const smaller = async (file) => {
    if (file.size < 600 * 1024 || !window.createImageBitmap) return file;
    try {
      const picture = await createImageBitmap(file, { imageOrientation: "from-image" });
      const part = Math.min(1, SIDE / Math.max(picture.width, picture.height));
      const sheet = document.createElement("canvas");
      sheet.width = Math.round(picture.width * part);
      sheet.height = Math.round(picture.height * part);
      sheet.getContext("2d").drawImage(picture, 0, 0, sheet.width, sheet.height);
      const blob = await new Promise((done) => sheet.toBlob(done, "image/jpeg", 0.85));
      return blob ? new File([blob], "photo.jpg", { type: "image/jpeg" }) : file;
    } catch {
      return file;
    }
  };

  /** Photos are made small on the phone, so that they go through where the signal is weak. */
  const startPhotos = () => {
    for (const field of document.querySelectorAll("input[data-photos]")) {
      let busy = null;
      field.addEventListener("change", () => {
        if (!window.DataTransfer) return;
        const work = Promise.all([...field.files].map(smaller)).then((small) => {
          if (busy !== work) return; // Others were chosen meanwhile.
          const held = new DataTransfer();
          for (const file of small) held.items.add(file);
          field.files = held.files;
          busy = null;
        });
        busy = work;
      });
      field.form?.addEventListener("submit", (event) => {
        if (!busy) return;
        event.preventDefault();
        const submitter = event.submitter ?? undefined;
        // Not while this one is still being told of: a form that is being sent can't be sent.
        busy.finally(() => {
          busy = null;
          setTimeout(() => field.form.requestSubmit(submitter));
        });
      });
    }
  };

  const plain = (text) => text.toLowerCase().normalize("NFD").replace(/\p{M}/gu, "");

  /** A long list of items is narrowed to those whose names begin so. */
  const startNarrow = () => {
    for (const box of document.querySelectorAll("[data-narrow]")) {
      const by = box.querySelector("[data-narrow-by]");
      const list = box.querySelector("select");
      if (!by || !list) continue;
      by.hidden = false;
      by.addEventListener("input", () => {
        const words = plain(by.value).split(/\s+/).filter(Boolean);
        let only = [];
        for (const group of list.querySelectorAll("optgroup")) {
          let any = false;
          for (const option of group.querySelectorAll("option")) {
            const names = plain(`${option.textContent} ${option.dataset.also ?? ""} ${group.label}`).split(/[^\p{L}\p{N}]+/u);
            const fits = words.every((word) => names.some((name) => name.startsWith(word)));
            option.hidden = !fits;
            option.disabled = !fits;
            any ||= fits;
            if (fits) only.push(option);
          }
          group.hidden = !any;
        }
        if (words.length > 0 && only.length > 0 && only.length <= 3) list.value = only[0].value;
      });
      by.addEventListener("keydown", (event) => {
        if (event.key === "Enter") event.preventDefault();
      });
    }
  };

  document.addEventListener("DOMContentLoaded", () => {
    startSteppers();
    startSignature();
    startPhotos();
    startNarrow();
  });
})();
